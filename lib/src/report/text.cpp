#include "oxfade/report/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstddef>
#include <optional>
#include <vector>

#include "answers.hpp"
#include "exposure_text.hpp"
#include "oxfade/outcome/grouping.hpp"
#include "oxfade/version.hpp"
#include "page.hpp"
#include "plot.hpp"
#include "remedies_text.hpp"
#include "stretches_text.hpp"
#include "text_parts.hpp"
#include "variations.hpp"

namespace oxfade::report {
namespace {

using detail::Page;
using outcome::Outcome;
using outcome::RiserOutcome;

constexpr double joules_per_kwh = 3.6e6;

/// A compartment of a riser and its oxygen at the end.
struct Place {
    const outcome::PipeOutcome* pipe = nullptr;
    std::size_t cell = 0;
    double oxygen = -1.0;
};

/// The worst place at the end; among equals the one that was last to reach the target.
Place worst_place(const RiserOutcome& riser) {
    constexpr double equal = 1e-5;
    Place worst;
    for (const outcome::PipeOutcome& pipe : riser.pipes) {
        for (std::size_t cell = 0; cell < pipe.oxygen.size(); ++cell) {
            if (pipe.oxygen[cell] > worst.oxygen) worst = {&pipe, cell, pipe.oxygen[cell]};
        }
    }
    for (const outcome::PipeOutcome& pipe : riser.pipes) {
        if (pipe.name != riser.limiting_pipe || riser.limiting_cell >= pipe.oxygen.size()) continue;
        const double oxygen = pipe.oxygen[riser.limiting_cell];
        if (worst.oxygen - oxygen < equal) worst = {&pipe, riser.limiting_cell, oxygen};
    }
    return worst;
}

std::string fill_text(const RiserOutcome& riser) {
    const std::string limit = format_time(riser.fill_limit);
    if (!riser.fill_start) return fmt::format("filling never started (limit {})", limit);
    if (!riser.fill_time) return fmt::format("set pressure not reached (limit {})", limit);
    std::string text = fmt::format("in {}, {} the limit of {}", format_time(*riser.fill_time),
                                   *riser.fill_time <= riser.fill_limit ? "within" : "OVER", limit);
    for (const outcome::Stretch& fill : riser.refills) {
        const double time = fill.end - fill.begin;
        text += fmt::format("; again on {} in {}{}", format_day(fill.begin), format_time(time),
                            time > riser.fill_limit ? ", OVER the limit" : "");
    }
    return text;
}

void write_places(Page& page, const plant::Riser& given, const RiserOutcome& riser, const Units& units) {
    const Place worst = worst_place(riser);
    if (worst.pipe == nullptr) return;
    const bool met = riser.time_to_target.has_value();
    page.labelled(
        "Worst cell",
        fmt::format("{}: {} nitrogen at the end{}", detail::cell_place(given, *worst.pipe, worst.cell, units),
                    format_purity(1.0 - worst.oxygen),
                    met ? "" : detail::oxygen_error_text(riser.space_error_of_oxygen)));
    const bool same = riser.limiting_pipe == worst.pipe->name && riser.limiting_cell == worst.cell;
    if (!met || same || riser.limiting_pipe.empty()) return;
    for (const outcome::PipeOutcome& pipe : riser.pipes) {
        if (pipe.name != riser.limiting_pipe) continue;
        page.labelled("Last to meet it", detail::cell_place(given, pipe, riser.limiting_cell, units));
    }
}

/// The curves of one riser, whose cells start at a column of the history.
detail::OxygenCurves curves_of(const plant::Riser& riser, const outcome::RiserOutcome& run,
                               const outcome::History& history, std::size_t first, double target) {
    std::vector<double> weights;
    for (std::size_t p = 0; p < riser.pipes.size(); ++p) {
        const outcome::PipeOutcome& pipe = run.pipes[p];
        double begin = 0.0;
        for (const double end : pipe.cell_ends) {
            weights.push_back(riser.pipes[p].volume() * pipe.copies * (end - begin));
            begin = end;
        }
    }
    detail::OxygenCurves curves{history.times, {}, {}, 1.0 - target};
    for (std::size_t row = 0; row < history.times.size(); ++row) {
        double worst = 0.0;
        double sum = 0.0;
        for (std::size_t cell = 0; cell < weights.size(); ++cell) {
            const double oxygen = history.oxygen.at(row, first + cell);
            worst = std::max(worst, oxygen);
            sum += oxygen * weights[cell];
        }
        curves.worst.push_back(worst);
        curves.average.push_back(sum / riser.volume());
    }
    return curves;
}

std::string low_point_text(const outcome::LowPointOutcome& water, const Units& units) {
    using outcome::Dimension;
    std::string text = fmt::format("'{}': {} of water", water.name,
                                   format_value(water.water_at_start, Dimension::volume, units));
    if (water.drained_at) text += fmt::format(", drained on {}", format_day(*water.drained_at));
    text += water.closed_time > 0.0 ? fmt::format("; no gas passed it for {}", format_time(water.closed_time))
                                    : std::string("; gas passed above it");
    if (water.breaks > 0) {
        text +=
            fmt::format("; bubbled through {} {}, first on {}", water.breaks,
                        water.breaks == 1 ? "time" : "times", format_day(water.first_break.value_or(0.0)));
    }
    return text;
}

void write_water(Page& page, const RiserOutcome& riser, const Units& units) {
    for (const outcome::LowPointOutcome& water : riser.low_points) {
        page.labelled("Low point", low_point_text(water, units));
    }
    if (riser.dew_point && !riser.low_points.empty()) {
        constexpr double driest = 213.15;  // [K], below which no analyser on site reads
        const double dew_point = std::max(*riser.dew_point, driest);
        page.labelled("Dew point",
                      fmt::format("{}{} in the wettest cell, at the end", dew_point == driest ? "below " : "",
                                  format_temperature(dew_point, units)));
    }
}

void write_riser(Page& page, const plant::Riser& given, const RiserOutcome& riser, plant::TargetAt asked,
                 const Units& units) {
    using outcome::Dimension;
    page.heading(riser.name, format_value(riser.volume, Dimension::volume, units) + " of piping");
    page.labelled("Filled", fill_text(riser));
    detail::write_answers(page, riser, asked);
    write_places(page, given, riser, units);
    write_water(page, riser, units);
    if (riser.fill_time) {
        page.labelled(
            "Pressure",
            format_gauge_range(riser.lowest_in_service, riser.highest_in_service, units) + " after the fill");
    }
    page.labelled("Gas",
                  fmt::format("{} supplied, {} vented, {} leaked", format_amount(riser.supplied, units),
                              format_amount(riser.vented, units), format_amount(riser.leaked, units)));
    page.labelled("Steady demand", format_molar_flow(riser.steady_demand, units) +
                                       " through permanently open vents and leaks");
}

std::string running_text(const outcome::SourceOutcome& source) {
    std::string text = fmt::format("{} in {} {}", format_time(source.running), source.starts,
                                   source.starts == 1 ? "start" : "starts");
    if (source.on_air > 0.0) text += fmt::format("; {} of it on air", format_time(source.on_air));
    if (source.air_after_fill > 0.0) {
        text += fmt::format(", {} after the fills were done", format_time(source.air_after_fill));
    }
    return text;
}

void write_source(Page& page, const plant::Plant& plant, const Outcome& outcome, const Units& units) {
    const outcome::SourceOutcome& source = outcome.source;
    page.heading("Source");
    if (!std::holds_alternative<plant::Compressor>(plant.source)) {
        page.labelled("Nitrogen", fmt::format("{} of {} purity", format_amount(source.made_nitrogen, units),
                                              format_purity(outcome.nitrogen_purity)));
    }
    if (source.made_air > 0.0) page.labelled("Plain air", format_amount(source.made_air, units));
    if (!std::holds_alternative<plant::Cylinders>(plant.source)) page.labelled("Ran", running_text(source));
    if (source.empty_at) page.labelled("Cylinders", "EMPTY from " + format_day(*source.empty_at) + " on");
    if (source.steady_daily_run) {
        page.labelled("Daily run", format_time(*source.steady_daily_run) +
                                       " a day in the last part of the run; a leak shows as more than that");
    }
    if (source.energy) page.labelled("Energy", format_number(*source.energy / joules_per_kwh) + " kWh");
    page.blank();
}

/// What was asked for and is not met on one riser; empty when all is.
std::string shortfall(const RiserOutcome& riser, plant::TargetAt asked) {
    std::string text;
    if (!riser.time_to_target) {
        text = fmt::format("target not met {} at the end", detail::target_place(asked));
        if (riser.not_met_because) text += ": " + reason(*riser.not_met_because);
    }
    if (!riser.fill_met) text += std::string(text.empty() ? "" : "; ") + "filled " + fill_text(riser);
    return text;
}

/// The last of all risers to meet the target.
const RiserOutcome& latest(const Outcome& outcome) {
    return *std::max_element(outcome.risers.begin(), outcome.risers.end(),
                             [](const RiserOutcome& a, const RiserOutcome& b) {
                                 return a.time_to_target.value_or(0.0) < b.time_to_target.value_or(0.0);
                             });
}

void write_verdict(Page& page, const Outcome& outcome) {
    if (outcome.all_met() && !outcome.risers.empty()) {
        const RiserOutcome& last = latest(outcome);
        page.paragraph(fmt::format(
            "MET: the target is met {} {} after the start{}, and every fill is within its "
            "limit.",
            detail::target_place(outcome.target_at), format_time(last.time_to_target.value_or(0.0)),
            detail::time_error_text(last.space_error_of_time)));
        const bool all =
            std::all_of(outcome.risers.begin(), outcome.risers.end(),
                        [](const RiserOutcome& riser) { return riser.time_everywhere.has_value(); });
        if (outcome.target_at != plant::TargetAt::everywhere && !all)
            page.paragraph("Not every part of the piping is there: see the three answers of each system.");
    } else {
        page.paragraph("NOT MET:");
        std::vector<std::string> texts;
        for (const RiserOutcome& riser : outcome.risers) texts.push_back(shortfall(riser, outcome.target_at));
        const auto same = [&](std::size_t a, std::size_t b) { return texts[a] == texts[b]; };
        for (const auto& group : outcome::groups_of(texts.size(), same)) {
            std::vector<std::string> names;
            names.reserve(group.size());
            for (const std::size_t r : group) names.push_back(outcome.risers[r].name);
            const std::string& text = texts[group.front()];
            if (!text.empty()) page.paragraph(outcome::name_list(names, names.size()) + ": " + text, 2);
        }
    }
    page.blank();
}

void write_title(Page& page, const Outcome& outcome) {
    if (!outcome.title.empty()) page.paragraph(outcome.title);
    page.paragraph(fmt::format("oxfade {}: {} simulated, target {} nitrogen (at most {} oxygen) {}", version,
                               format_time(outcome.duration), format_percent(outcome.target),
                               format_percent(1.0 - outcome.target),
                               detail::target_place(outcome.target_at)));
    page.blank();
}

}  // namespace

std::string reason(outcome::Code code) {
    using outcome::Code;
    switch (code) {
        case Code::target_above_purity:
            return "the source's own gas is below the target";
        case Code::vents_above_separator:
            return "vents and leaks take more than the separator makes";
        case Code::air_after_fill:
            return "the source fell back on air after the fills";
        case Code::no_way_out:
            return "there is no vent on or beyond the last pipe";
        case Code::fill_limit_exceeded:
            return "the fill took longer than its limit";
        case Code::riser_never_filled:
            return "the set pressure was never reached";
        case Code::source_empty:
            return "the cylinders ran empty";
        case Code::run_too_short:
            return "the simulated time ended first";
        case Code::leak_above_acceptance:
            return "it leaks more than an acceptance test allows";
        case Code::supply_too_small:
            return "the supply passage cannot hold the set pressure";
        case Code::vent_never_opens:
            return "its vent never opens";
        case Code::target_lost:
            return "the target was met and lost again";
        case Code::purity_below_air:
            return "a purity is below that of air";
        case Code::air_pressure_unusual:
            return "the air pressure at the site is not one of any place on land";
        case Code::temperature_swing:
            return "its temperature moves";
        case Code::pressure_not_uniform:
            return "friction in its pipes counts";
        case Code::water_blocks:
            return "water at a low point keeps gas from passing";
        case Code::liquid_stop_shut:
            return "water has shut the liquid stop of its vent";
        case Code::water_lies:
            return "water lies at a low point";
        case Code::condensation:
            return "vapour condensed in its pipes";
        case Code::ice_plug:
            return "its water freezes";
        case Code::tripped:
            return "it tripped, and the time that was left was too short";
        case Code::source_stopped:
            return "the source is stopped";
        case Code::valve_shut:
            return "a valve is shut by hand";
        case Code::readings_mislead:
            return "readings at vents do not tell for every part of it";
    }
    return "of a reason this version has no words for";
}

std::string message_line(const outcome::Message& message, const Units& units) {
    std::string line = fmt::format("{}: ", to_string(message.level));
    if (!message.where.empty()) line += message.where + ": ";
    return line + format_message(message, units);
}

std::string to_text(const plant::Plant& plant, const Outcome& outcome, const Units& units) {
    Page page;
    write_title(page, outcome);
    write_verdict(page, outcome);
    std::size_t first = 0;
    for (std::size_t r = 0; r < outcome.risers.size(); ++r) {
        write_riser(page, plant.risers.at(r), outcome.risers[r], outcome.target_at, units);
        page.blank();
        detail::draw(
            page, curves_of(plant.risers.at(r), outcome.risers[r], outcome.history, first, outcome.target));
        page.blank();
        for (const outcome::PipeOutcome& pipe : outcome.risers[r].pipes) first += pipe.oxygen.size();
    }
    detail::write_remedies(page, outcome, units);
    detail::write_variations(page, outcome, units);
    detail::write_stretches(page, plant, outcome, units);
    write_source(page, plant, outcome, units);
    detail::write_exposure(page, outcome);
    detail::write_assumed(page, plant);
    detail::write_findings(page, outcome.messages, units);
    detail::write_cautions(page);
    page.blank();
    if (const std::string cut = detail::resolution_text(outcome.resolution); !cut.empty())
        page.paragraph(cut);
    page.paragraph(fmt::format("Gas balance: in - out - stored is {} of the gas handled, {} steps.",
                               fmt::format("{:.0e}", outcome.balance.worst_relative), outcome.effort.steps));
    return page.text();
}

}  // namespace oxfade::report
