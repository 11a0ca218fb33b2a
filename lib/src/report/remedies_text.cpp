#include "remedies_text.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "oxfade/outcome/grouping.hpp"

namespace oxfade::report::detail {
namespace {

using outcome::Dimension;
using outcome::Outcome;
using outcome::Remedy;
using outcome::RemedyChange;

std::string names_of(const Outcome& outcome, const std::vector<RemedyChange>& changes,
                     const std::vector<std::size_t>& group) {
    std::vector<std::string> names;
    names.reserve(group.size());
    for (const std::size_t k : group) names.push_back(outcome.risers[changes[k].riser].name);
    return outcome::name_list(names);
}

std::string what_of(const RemedyChange& change, Remedy::Kind kind, const std::string& names,
                    const Units& units) {
    switch (kind) {
        case Remedy::Kind::vents:
            return fmt::format("Vents of {} at the far ends of {} branch lines of {}",
                               format_value(change.orifice, Dimension::length, units),
                               change.lines == change.all_lines
                                   ? fmt::format("all {}", change.lines)
                                   : fmt::format("{} of {}", change.lines, change.all_lines),
                               names);
        case Remedy::Kind::cycles:
            return fmt::format("Pressure cycles of {} between {} and {}, through a vent of {}", names,
                               format_value(change.high, Dimension::gauge_pressure, units),
                               format_value(change.low, Dimension::gauge_pressure, units),
                               format_value(change.orifice, Dimension::length, units));
        case Remedy::Kind::longer:
            return fmt::format("More time for {}", names);
    }
    return "";
}

bool same_change(const RemedyChange& a, const RemedyChange& b) {
    return a.lines == b.lines && a.all_lines == b.all_lines && outcome::prints_alike(a.orifice, b.orifice) &&
           outcome::prints_alike(a.low, b.low) && outcome::prints_alike(a.high, b.high);
}

std::string time_of(const Remedy& remedy, const RemedyChange& change) {
    const auto& time = remedy.time_to_target.at(change.riser);
    if (!time && change.cycles)
        return fmt::format("not met within {} cycles ({})", *change.cycles, format_time(remedy.duration));
    if (!time) return "not met within " + format_time(remedy.duration);
    return format_time(*time) + (change.cycles ? fmt::format(" ({} cycles)", *change.cycles) : "");
}

/// The time of each of these risers, or what speaks against it.
std::string times_of(const Outcome& outcome, const Remedy& remedy, const std::vector<std::size_t>& group) {
    if (remedy.too_large) return "no: even the smallest vents would take more than the separator makes";
    if (remedy.on_air) return "no: the source would fall back on air";
    const auto same = [&](std::size_t a, std::size_t b) {
        return time_of(remedy, remedy.changes[group[a]]) == time_of(remedy, remedy.changes[group[b]]);
    };
    std::string text;
    const auto groups = outcome::groups_of(group.size(), same);
    for (const auto& equal : groups) {
        std::vector<std::size_t> members;
        members.reserve(equal.size());
        for (const std::size_t k : equal) members.push_back(group[k]);
        const std::string time = time_of(remedy, remedy.changes[members.front()]);
        text += fmt::format("{}{}{}", text.empty() ? "" : "; ",
                            groups.size() > 1 ? names_of(outcome, remedy.changes, members) + " " : "", time);
    }
    if (remedy.demand_share)
        text += fmt::format("; all vents and leaks then take {} of what the separator makes",
                            format_percent(*remedy.demand_share));
    return text;
}

bool any(const Outcome& outcome, Remedy::Kind kind) {
    return std::any_of(outcome.remedies.begin(), outcome.remedies.end(),
                       [&](const Remedy& remedy) { return remedy.kind == kind; });
}

const char* kind_name(Remedy::Kind kind) {
    switch (kind) {
        case Remedy::Kind::vents:
            return "vents";
        case Remedy::Kind::cycles:
            return "cycles";
        case Remedy::Kind::longer:
            return "longer";
    }
    return "";
}

}  // namespace

std::vector<RemedyLine> remedy_lines(const Outcome& outcome, const Units& units) {
    std::vector<RemedyLine> lines;
    for (const Remedy& remedy : outcome.remedies) {
        const auto same = [&](std::size_t a, std::size_t b) {
            return same_change(remedy.changes[a], remedy.changes[b]);
        };
        for (const auto& group : outcome::groups_of(remedy.changes.size(), same)) {
            const std::string names = names_of(outcome, remedy.changes, group);
            lines.push_back({what_of(remedy.changes[group.front()], remedy.kind, names, units),
                             times_of(outcome, remedy, group)});
        }
    }
    return lines;
}

std::vector<std::string> remedy_cautions(const Outcome& outcome) {
    std::vector<std::string> list;
    if (outcome.remedies.empty()) return list;
    list.emplace_back(
        "Each line is a run of its own, on coarser cells than the report: compare the times with each other, "
        "and "
        "run the one you choose.");
    if (any(outcome, Remedy::Kind::cycles))
        list.emplace_back(
            "Pressure cycles: keep the low pressure well above the trip pressure of the valve, or have the "
            "valve "
            "isolated by those who may do so. The supply is throttled so that the generator keeps up.");
    if (any(outcome, Remedy::Kind::vents))
        list.emplace_back(
            "Vents on branch lines: each needs a liquid stop, a safe place for its gas, and the "
            "approval that any change of a fire sprinkler system needs.");
    return list;
}

void write_remedies(Page& page, const Outcome& outcome, const Units& units) {
    if (outcome.remedies.empty()) return;
    page.heading("What would help", "time to target");
    for (const RemedyLine& line : remedy_lines(outcome, units)) {
        page.paragraph(line.what + ":", 2);
        page.paragraph(line.times, 6);
    }
    for (const std::string& caution : remedy_cautions(outcome)) page.paragraph(caution, 2);
    page.blank();
}

Json remedies_json(const Outcome& outcome) {
    Json list = Json::array();
    for (const Remedy& remedy : outcome.remedies) {
        Json risers = Json::array();
        for (const RemedyChange& change : remedy.changes) {
            Json json{{"name", outcome.risers[change.riser].name}};
            if (remedy.kind == Remedy::Kind::vents) {
                json["lines"] = change.lines;
                json["of_lines"] = change.all_lines;
            }
            if (remedy.kind == Remedy::Kind::cycles) {
                json["low_pa"] = number(change.low);
                json["high_pa"] = number(change.high);
                json["cycles"] = change.cycles ? Json(*change.cycles) : Json(nullptr);
            }
            if (remedy.kind != Remedy::Kind::longer) json["vent_diameter_m"] = number(change.orifice);
            json["time_to_target_s"] =
                remedy.too_large ? Json(nullptr) : number(remedy.time_to_target.at(change.riser));
            risers.push_back(std::move(json));
        }
        list.push_back({{"kind", kind_name(remedy.kind)},
                        {"simulated_s", number(remedy.duration)},
                        {"source_falls_back_on_air", remedy.on_air},
                        {"above_separator", remedy.too_large},
                        {"demand_over_separator", number(remedy.demand_share)},
                        {"risers", risers}});
    }
    return list;
}

}  // namespace oxfade::report::detail
