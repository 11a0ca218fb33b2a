#include "variations.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "oxfade/outcome/grouping.hpp"

namespace oxfade::report::detail {
namespace {

using outcome::Outcome;
using outcome::Variation;
using Times = std::vector<std::optional<double>>;

std::string time_text(const std::optional<double>& time) { return time ? format_time(*time) : "not met"; }

/// Risers with the same text together; of many different ones the range.
std::string times_text(const Outcome& outcome, const Times& times) {
    constexpr std::size_t most = 4;
    if (outcome.risers.size() == 1) return time_text(times.front());
    const auto same = [&](std::size_t a, std::size_t b) {
        return time_text(times[a]) == time_text(times[b]);
    };
    const auto groups = outcome::groups_of(times.size(), same);
    std::string text;
    if (groups.size() <= most) {
        for (const auto& group : groups) {
            std::vector<std::string> names;
            names.reserve(group.size());
            for (const std::size_t r : group) names.push_back(outcome.risers[r].name);
            text += fmt::format("{}{} {}", text.empty() ? "" : "; ", outcome::name_list(names),
                                time_text(times[group.front()]));
        }
        return text;
    }
    std::size_t first = times.size(), last = times.size(), missed = 0;
    for (std::size_t r = 0; r < times.size(); ++r) {
        if (!times[r]) {
            ++missed;
            continue;
        }
        if (first == times.size() || *times[r] < *times[first]) first = r;
        if (last == times.size() || *times[r] > *times[last]) last = r;
    }
    text = fmt::format("{} to {}, {} last", format_time(*times[first]), format_time(*times[last]),
                       outcome.risers[last].name);
    return missed > 0 ? text + fmt::format("; {} of {} systems not met", missed, times.size()) : text;
}

std::string label_of(const Variation& variation, const Units& units) {
    switch (variation.what) {
        case Variation::What::leaks_at_entry:
            return "leaks at entry";
        case Variation::What::leaks_at_far_ends:
            return "leaks far ends";
        case Variation::What::mouth:
            return fmt::format("mouth {} bores", format_number(variation.value));
        case Variation::What::warm_end:
            return fmt::format(
                "ends {}{}", variation.value > 0.0 ? "+" : "",
                format_value(variation.value, outcome::Dimension::temperature_difference, units));
    }
    return "";
}

const char* name_of(Variation::What what) {
    switch (what) {
        case Variation::What::leaks_at_entry:
            return "leaks-at-entry";
        case Variation::What::leaks_at_far_ends:
            return "leaks-at-far-ends";
        case Variation::What::mouth:
            return "mouth";
        case Variation::What::warm_end:
            return "warm-end";
    }
    return "";
}

bool about_leaks(const Variation& variation) {
    return variation.what == Variation::What::leaks_at_entry ||
           variation.what == Variation::What::leaks_at_far_ends;
}

Times own_times(const Outcome& outcome) {
    Times times;
    for (const outcome::RiserOutcome& riser : outcome.risers) times.push_back(riser.time_to_target);
    return times;
}

}  // namespace

std::vector<VariationLine> variation_lines(const Outcome& outcome, const Units& units) {
    std::vector<VariationLine> lines;
    if (outcome.variations.empty() || outcome.risers.empty()) return lines;
    lines.push_back({"as given", times_text(outcome, own_times(outcome))});
    for (const Variation& variation : outcome.variations) {
        if (variation.time_to_target.size() == outcome.risers.size())
            lines.push_back({label_of(variation, units), times_text(outcome, variation.time_to_target)});
    }
    return lines;
}

bool leak_place_decides(const Outcome& outcome, std::size_t r) {
    constexpr double much = 1.25;
    const auto& own = outcome.risers[r].time_to_target;
    double least = own.value_or(0.0), most = least;
    for (const Variation& variation : outcome.variations) {
        if (!about_leaks(variation) || r >= variation.time_to_target.size()) continue;
        const auto& time = variation.time_to_target[r];
        if (time.has_value() != own.has_value()) return true;
        if (!time) continue;
        least = std::min(least, *time);
        most = std::max(most, *time);
    }
    return most > much * least;
}

std::string leak_place_sentence(const Outcome& outcome) {
    std::vector<std::string> names;
    for (std::size_t r = 0; r < outcome.risers.size(); ++r) {
        if (leak_place_decides(outcome, r)) names.push_back(outcome.risers[r].name);
    }
    if (names.empty()) return "";
    return fmt::format(
        "Where the leaks are decides the answer for {}. Find them, section by section, before relying on a "
        "date: a leak at the entry brings no nitrogen to the branch lines, one at a far end does.",
        outcome::name_list(names));
}

void write_variations(Page& page, const Outcome& outcome, const Units& units) {
    const auto lines = variation_lines(outcome, units);
    if (lines.empty()) return;
    page.heading("What nobody knows exactly", "time to target");
    for (const VariationLine& line : lines) page.labelled(line.label, line.times);
    if (const std::string sentence = leak_place_sentence(outcome); !sentence.empty())
        page.paragraph(sentence, 2);
    page.blank();
}

Json variations_json(const Outcome& outcome) {
    Json list = Json::array();
    for (const Variation& variation : outcome.variations) {
        Json times = Json::array();
        for (const auto& time : variation.time_to_target) times.push_back(number(time));
        list.push_back({{"what", name_of(variation.what)},
                        {"value", about_leaks(variation) ? Json(nullptr) : number(variation.value)},
                        {"time_to_target_s", times}});
    }
    return list;
}

}  // namespace oxfade::report::detail
