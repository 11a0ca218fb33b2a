#include <fmt/format.h>

#include <algorithm>
#include <cstddef>
#include <optional>
#include <variant>

#include "oxfade/report/survey.hpp"
#include "oxfade/version.hpp"
#include "page.hpp"
#include "stretches_text.hpp"
#include "study_checkup.hpp"
#include "text_parts.hpp"

namespace oxfade::report {
namespace {

using detail::Page;
using outcome::Dimension;

std::string shape_text(const plant::Pipe& pipe, const Units& units) {
    std::string text = format_value(pipe.volume(), Dimension::volume, units);
    if (const plant::Cylinder* cylinder = pipe.geometry()) {
        text += fmt::format(", {} of {} bore", format_value(cylinder->length, Dimension::length, units),
                            format_value(cylinder->bore, Dimension::length, units));
    }
    if (pipe.cells) text += fmt::format(", {} cell{}", *pipe.cells, *pipe.cells == 1 ? "" : "s");
    if (pipe.count > 1) text += fmt::format(", {} of them", pipe.count);
    return text;
}

/// Pipes under each other, each indented below the one it hangs on as far as the label column allows.
std::string pipe_label(const plant::Riser& riser, std::size_t index) {
    constexpr std::size_t deepest = 4;
    std::size_t depth = 0;
    std::optional<std::size_t> parent = riser.parent_index(index);
    while (parent && depth < deepest) {
        ++depth;
        parent = riser.parent_index(*parent);
    }
    return std::string(depth, '.') + riser.pipes[index].name;
}

/// A share that may exceed one, in whole percent.
std::string format_share(double share) { return fmt::format("{:.0f} %", 100.0 * share); }

bool has_cycling_vent(const plant::Riser& riser) {
    return std::any_of(riser.vents.begin(), riser.vents.end(), [](const plant::Vent& vent) {
        return std::holds_alternative<plant::OpenBetween>(vent.policy);
    });
}

struct PolicyText {
    std::string operator()(const plant::OpenAlways&) const { return "open from the end of the fill"; }
    std::string operator()(const plant::OpenUntil& policy) const {
        return "open from the end of the fill until " + format_day(policy.time);
    }
    std::string operator()(const plant::OpenUntilTarget&) const {
        return "open until the system meets its target";
    }
    std::string operator()(const plant::OpenTimed& policy) const {
        return fmt::format("opens every {} for {}", format_time(policy.every), format_time(policy.duration));
    }
    std::string operator()(const plant::OpenBetween& policy) const {
        return fmt::format("opens at {}, shuts at {}",
                           format_value(policy.high, Dimension::gauge_pressure, units),
                           format_value(policy.low, Dimension::gauge_pressure, units));
    }
    const Units& units;
};

std::string vent_text(const plant::Vent& vent, const Units& units) {
    return fmt::format("'{}' at '{}', {} across, {}", vent.name, vent.at,
                       format_value(vent.orifice.diameter, Dimension::length, units),
                       detail::policy_text(vent.policy, units));
}

std::string supply_text(const plant::Supply& supply, const Units& units) {
    if (const auto* pressure_switch = std::get_if<plant::PressureSwitch>(&supply)) {
        return "pressure switch, " + format_gauge_range(pressure_switch->low, pressure_switch->high, units);
    }
    return "regulator";
}

void write_duty(Page& page, const plant::Riser& riser, const outcome::RiserDuty& duty, const Units& units) {
    page.labelled("Fill", fmt::format("about {} from a full receiver; limit {}",
                                      format_time(duty.fill_estimate), format_time(riser.fill_limit)));
    std::string demand = format_molar_flow(duty.vents_average + duty.leaks, units);
    if (duty.vents_open > duty.vents_average) {
        demand += fmt::format(" on average, {} with every vent open",
                              format_molar_flow(duty.vents_open + duty.leaks, units));
    }
    demand += fmt::format("; of it leaks {}", format_molar_flow(duty.leaks, units));
    if (has_cycling_vent(riser)) demand += "; vents that cycle are not counted";
    page.labelled("Demand", demand);
    if (!duty.test_loss) return;
    const outcome::AcceptanceTest test;
    page.labelled(
        "Leak test",
        fmt::format("would lose {} from {} in {}; {} is allowed",
                    format_value(*duty.test_loss, Dimension::pressure, units),
                    format_value(units.site_pressure + test.gauge_pressure, Dimension::gauge_pressure, units),
                    format_time(test.duration), format_value(test.loss_allowed, Dimension::pressure, units)));
}

void write_riser(Page& page, const plant::Riser& riser, const outcome::RiserDuty& duty, const Units& units) {
    page.heading(riser.name, format_value(riser.volume(), Dimension::volume, units) + " of piping");
    for (std::size_t i = 0; i < riser.pipes.size(); ++i) {
        page.labelled(pipe_label(riser, i), shape_text(riser.pipes[i], units));
    }
    page.labelled(
        "Set pressure",
        fmt::format("{}, kept by a {}", format_value(riser.set_pressure, Dimension::gauge_pressure, units),
                    supply_text(riser.supply, units)));
    for (const plant::Vent& vent : riser.vents) page.labelled("Vent", vent_text(vent, units));
    if (riser.vents.empty()) page.labelled("Vent", "none");
    write_duty(page, riser, duty, units);
}

void write_balance(Page& page, const outcome::PlantDuty& duty, const std::optional<double>& margin,
                   const Units& units) {
    page.heading("All systems");
    page.labelled("Demand", format_molar_flow(duty.demand, units) + " once purging");
    if (duty.separator) {
        page.labelled("Separator",
                      fmt::format("makes {}: {} of it is needed", format_molar_flow(*duty.separator, units),
                                  format_share(duty.demand / *duty.separator)));
    }
    if (margin) {
        page.labelled("Margin", *margin >= 0.0 ? format_share(*margin) + " of what it makes is left"
                                               : "none: it makes too little");
    }
    page.blank();
}

void write_actions(Page& page, const plant::Plant& plant, const Units& units) {
    if (plant.actions.empty()) return;
    page.heading("What is done");
    for (const std::size_t i : plant::actions_in_order(plant)) {
        const plant::Action& action = plant.actions[i];
        page.labelled(format_day(action.at), detail::action_text(plant, action, units));
    }
    page.blank();
}

}  // namespace

std::string detail::policy_text(const plant::VentPolicy& policy, const Units& units) {
    return std::visit(PolicyText{units}, policy);
}

std::string survey_text(const plant::Plant& plant, const Survey& survey, const Units& units) {
    Page page;
    if (!plant.title.empty()) page.paragraph(plant.title);
    page.paragraph(fmt::format("oxfade {}: the file is valid; no simulation was run", version));
    page.blank();
    for (std::size_t r = 0; r < plant.risers.size(); ++r) {
        const plant::Riser& riser = plant.risers[r];
        write_riser(page, riser, survey.duty.risers.at(r), units);
        if (r < survey.checkup.sizes.size())
            detail::write_size_step(page, riser.volume(), survey.checkup.sizes[r], units);
        page.blank();
    }
    write_balance(page, survey.duty, survey.checkup.margin, units);
    write_actions(page, plant, units);
    detail::write_dead_ends(page, survey.checkup, units);
    detail::write_assumed(page, plant);
    detail::write_findings(page, survey.findings, units);
    detail::write_cautions(page);
    return page.text();
}

}  // namespace oxfade::report
