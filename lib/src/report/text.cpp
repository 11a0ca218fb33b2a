#include "oxfade/report/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstddef>
#include <optional>
#include <vector>

#include "exposure_text.hpp"
#include "oxfade/version.hpp"
#include "page.hpp"
#include "plot.hpp"
#include "stretches_text.hpp"
#include "text_parts.hpp"

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

std::string place_name(const std::string& pipe, std::size_t cell, std::size_t cells) {
    return cells > 1 ? fmt::format("'{}', part {} of {}", pipe, cell + 1, cells) : fmt::format("'{}'", pipe);
}

std::string stretch_text(const outcome::Stretch& stretch) {
    return fmt::format("{} to {}", format_day(stretch.begin), format_day(stretch.end));
}

std::string stretches_text(const std::vector<outcome::Stretch>& stretches, std::size_t count) {
    constexpr std::size_t shown = 4;
    std::string text;
    for (std::size_t i = 0; i < std::min(count, shown); ++i) {
        text += (i == 0 ? "" : ", ") + stretch_text(stretches[i]);
    }
    if (count > shown) text += fmt::format(" and {} more times", count - shown);
    return text;
}

std::string fill_text(const RiserOutcome& riser) {
    const std::string limit = format_time(riser.fill_limit);
    if (!riser.fill_start) return fmt::format("its fill never began (limit {})", limit);
    if (!riser.fill_time) return fmt::format("never reached its set pressure (limit {})", limit);
    std::string text = fmt::format("in {}, {} the limit of {}", format_time(*riser.fill_time),
                                   *riser.fill_time <= riser.fill_limit ? "within" : "OVER", limit);
    for (const outcome::Stretch& fill : riser.refills) {
        const double time = fill.end - fill.begin;
        text += fmt::format("; again on {} in {}{}", format_day(fill.begin), format_time(time),
                            time > riser.fill_limit ? ", OVER the limit" : "");
    }
    return text;
}

std::string target_text(const RiserOutcome& riser) {
    const std::size_t stretches = riser.at_target.size();
    if (riser.time_to_target) {
        std::string text = fmt::format("{} after the start ({}), and then to the end",
                                       format_time(*riser.time_to_target), format_day(*riser.time_to_target));
        if (stretches > 1) text += "; before that " + stretches_text(riser.at_target, stretches - 1);
        return text;
    }
    std::string text = "NOT at the end";
    if (riser.not_met_because) text += ", because " + reason(*riser.not_met_because);
    if (stretches > 0) text += "; it was from " + stretches_text(riser.at_target, stretches);
    return text;
}

void write_places(Page& page, const RiserOutcome& riser) {
    const Place worst = worst_place(riser);
    if (worst.pipe == nullptr) return;
    page.labelled("Worst place",
                  fmt::format("{}: {} nitrogen at the end",
                              place_name(worst.pipe->name, worst.cell, worst.pipe->oxygen.size()),
                              format_purity(1.0 - worst.oxygen)));
    const bool same = riser.limiting_pipe == worst.pipe->name && riser.limiting_cell == worst.cell;
    if (!riser.time_to_target || same || riser.limiting_pipe.empty()) return;
    for (const outcome::PipeOutcome& pipe : riser.pipes) {
        if (pipe.name != riser.limiting_pipe) continue;
        page.labelled("Last on target", place_name(pipe.name, riser.limiting_cell, pipe.oxygen.size()));
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
                      fmt::format("{}{} at the wettest place, at the end",
                                  dew_point == driest ? "below " : "", format_temperature(dew_point, units)));
    }
}

void write_riser(Page& page, const RiserOutcome& riser, const Units& units) {
    using outcome::Dimension;
    page.heading(riser.name, format_value(riser.volume, Dimension::volume, units) + " of piping");
    page.labelled("Filled", fill_text(riser));
    page.labelled("On target", target_text(riser));
    write_places(page, riser);
    write_water(page, riser, units);
    if (riser.fill_time) {
        page.labelled(
            "Pressure",
            format_gauge_range(riser.lowest_in_service, riser.highest_in_service, units) + " after the fill");
    }
    page.labelled("Gas",
                  fmt::format("{} supplied, {} vented, {} leaked", format_amount(riser.supplied, units),
                              format_amount(riser.vented, units), format_amount(riser.leaked, units)));
    page.labelled("Steady demand",
                  format_molar_flow(riser.steady_demand, units) + " through vents that stand open and leaks");
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
std::string shortfall(const RiserOutcome& riser) {
    std::string text;
    if (!riser.time_to_target) {
        text = "below target at the end";
        if (riser.not_met_because) text += ": " + reason(*riser.not_met_because);
    }
    if (!riser.fill_met) text += std::string(text.empty() ? "" : "; ") + "filled " + fill_text(riser);
    return text;
}

void write_verdict(Page& page, const Outcome& outcome) {
    if (outcome.all_met()) {
        double last = 0.0;
        for (const RiserOutcome& riser : outcome.risers)
            last = std::max(last, riser.time_to_target.value_or(0.0));
        page.paragraph(fmt::format(
            "MET: every part of the piping is on target {} after the start, and every fill keeps its "
            "limit.",
            format_time(last)));
    } else {
        page.paragraph("NOT MET:");
        for (const RiserOutcome& riser : outcome.risers) {
            const std::string text = shortfall(riser);
            if (!text.empty()) page.paragraph(riser.name + ": " + text, 2);
        }
    }
    page.blank();
}

void write_title(Page& page, const Outcome& outcome) {
    if (!outcome.title.empty()) page.paragraph(outcome.title);
    page.paragraph(fmt::format("oxfade {}: {} simulated, target {} nitrogen (at most {} oxygen)", version,
                               format_time(outcome.duration), format_percent(outcome.target),
                               format_percent(1.0 - outcome.target)));
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
            return "gas has no way out past there";
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
            return "its parts are too short";
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
        write_riser(page, outcome.risers[r], units);
        page.blank();
        detail::draw(page, curves_of(plant.risers.at(r), outcome.risers[r], outcome.history, first, outcome.target));
        page.blank();
        for (const outcome::PipeOutcome& pipe : outcome.risers[r].pipes) first += pipe.oxygen.size();
    }
    detail::write_stretches(page, plant, outcome, units);
    write_source(page, plant, outcome, units);
    detail::write_exposure(page, outcome);
    detail::write_findings(page, outcome.messages, units);
    detail::write_cautions(page);
    page.blank();
    page.paragraph(fmt::format("Gas balance: in - out - stored is {} of the gas handled, {} steps.",
                               fmt::format("{:.0e}", outcome.balance.worst_relative), outcome.effort.steps));
    return page.text();
}

}  // namespace oxfade::report
