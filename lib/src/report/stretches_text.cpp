#include "report/stretches_text.hpp"

#include <fmt/format.h>

#include "oxfade/report/study_values.hpp"
#include "plant/fields.hpp"
#include "text/key_path.hpp"

namespace oxfade::report::detail {
namespace {

using plant::Deed;

std::string set_text(const plant::Plant& plant, const plant::Action& action, const Units& units) {
    const auto segments = text::split_path(action.key);
    const auto place = segments ? plant::detail::find_quantity(plant::detail::field_entries(plant), *segments)
                                : std::nullopt;
    const auto dimension = place ? place->dimension() : std::nullopt;
    return fmt::format("{} set to {}", action.key, format_quantity(action.value, dimension, units));
}

std::string riser_text(const outcome::RiserStretch& riser, const Units& units) {
    using outcome::Dimension;
    std::string text = fmt::format("worst {} to {} nitrogen", format_purity(1.0 - riser.oxygen_begin),
                                   format_purity(1.0 - riser.oxygen_end));
    if (riser.fill_time) text += fmt::format(", filled in {}", format_time(*riser.fill_time));
    if (!riser.time_to_target) {
        text += ", target not met at its end";
    } else if (*riser.time_to_target > 0.0) {
        text += fmt::format(", target met {} into it", format_time(*riser.time_to_target));
    } else {
        text += ", target met throughout";
    }
    return text +
           fmt::format("; {} at its end", format_value(riser.pressure_end, Dimension::gauge_pressure, units));
}

}  // namespace

std::string action_text(const plant::Plant& plant, const plant::Action& action, const Units& units) {
    const std::string valve = action.what == plant::supply_valve
                                  ? fmt::format("the supply of {}", action.riser)
                                  : fmt::format("'{}' of {}", action.what, action.riser);
    switch (action.deed) {
        case Deed::drain:
            return action.what.empty() ? fmt::format("every low point of {} drained", action.riser)
                                       : fmt::format("{} drained", valve);
        case Deed::trip: {
            const std::string open =
                action.duration > 0.0 ? fmt::format(", open for {}", format_time(action.duration)) : "";
            return fmt::format("{} trips{}", action.riser, open);
        }
        case Deed::outage:
            return "the source stops";
        case Deed::restore:
            return "the source works again";
        case Deed::shut:
            return fmt::format("{} shut", valve);
        case Deed::open:
            return fmt::format("{} opened", valve);
        case Deed::set:
            return set_text(plant, action, units);
    }
    return "";
}

void write_stretches(Page& page, const plant::Plant& plant, const outcome::Outcome& outcome,
                     const Units& units) {
    if (outcome.stretches.empty()) return;
    page.heading("What happened");
    for (const outcome::RunStretch& stretch : outcome.stretches) {
        std::string what;
        for (const plant::Action& action : stretch.actions)
            what += (what.empty() ? "" : "; ") + action_text(plant, action, units);
        if (what.empty()) what = "the run begins";
        page.paragraph(fmt::format("{}: {}", format_day(stretch.begin), what));
        for (std::size_t r = 0; r < stretch.risers.size(); ++r) {
            page.paragraph(
                fmt::format("{}: {}", outcome.risers[r].name, riser_text(stretch.risers[r], units)), 2);
        }
        page.paragraph(fmt::format("source: ran {} of {}", format_time(stretch.running),
                                   format_time(stretch.end - stretch.begin)),
                       2);
    }
    page.blank();
}

}  // namespace oxfade::report::detail
