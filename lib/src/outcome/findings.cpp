#include "oxfade/outcome/findings.hpp"

#include <algorithm>
#include <cmath>

#include "outcome/action_findings.hpp"
#include "outcome/target_findings.hpp"
#include "outcome/water_findings.hpp"
#include "oxfade/gas/mixture.hpp"
#include "oxfade/outcome/duty.hpp"
#include "oxfade/outcome/evenness.hpp"
#include "oxfade/outcome/grouping.hpp"

namespace oxfade::outcome {
namespace {

using Value = Message::Value;

/// Whether a pipe has no vent on it or behind it, and no loop passes by it.
/// @param dead dead_branches() of the riser
bool in_dead_branch(const plant::Riser& riser, const std::vector<std::size_t>& dead, std::size_t pipe) {
    for (std::optional<std::size_t> p = pipe; p && !dead.empty(); p = riser.parent_index(*p)) {
        if (std::find(dead.begin(), dead.end(), *p) != dead.end()) return true;
    }
    return false;
}

bool unreachable(const plant::Plant& plant) { return plant::product_purity(plant.source) <= plant.target; }

/// Most often a fraction written with a percent sign, or the oxygen in the place of the purity.
void find_less_than_air(const plant::Plant& plant, std::vector<Message>& out) {
    const double air = gas::dry_air().purity();
    const auto tell = [&](const char* where, double given) {
        if (given >= air - 1e-6) return;
        out.push_back(
            {Code::purity_below_air,
             Level::warning,
             where,
             "A purity of {0} is less than that of plain air, {1}. Purity is 100 % less the oxygen, in "
             "percent: 98 %, not 0.98 % and not 2 %.",
             {{given, Dimension::fraction}, {air, Dimension::fraction}}});
    };
    tell("target", plant.target);
    tell("source.purity", plant::product_purity(plant.source));
}

/// Most often a pressure with the wrong unit. Between them lie all places where people build.
constexpr double least_air_pressure = 40e3, greatest_air_pressure = 120e3;

void find_air_pressure(const plant::Plant& plant, std::vector<Message>& out) {
    const double air = plant.site.pressure;
    if (air >= least_air_pressure && air <= greatest_air_pressure) return;
    out.push_back({Code::air_pressure_unusual,
                   Level::warning,
                   "site.pressure",
                   "The air pressure at the site is {0}; places on land have {1} to {2}. Check its unit.",
                   {{air, Dimension::pressure},
                    {least_air_pressure, Dimension::pressure},
                    {greatest_air_pressure, Dimension::pressure}}});
}

void find_purity(const plant::Plant& plant, std::vector<Message>& out) {
    const double purity = plant::product_purity(plant.source);
    if (purity > plant.target) return;
    out.push_back(
        {Code::target_above_purity,
         Level::failure,
         "target",
         "The source gives {0} nitrogen, so the target of {1} cannot be reached. Raise the source's "
         "purity above the target or lower the target.",
         {{purity, Dimension::fraction}, {plant.target, Dimension::fraction}}});
}

void find_demand(const plant::Plant& plant, const PlantDuty& duty, std::vector<Message>& out) {
    if (!duty.separator || duty.demand <= *duty.separator) return;
    const double one = plant::standard_volume(plant.site.reference, 1.0);
    out.push_back(
        {Code::vents_above_separator,
         Level::failure,
         "source",
         "Vents and leaks take {0} at set pressure, more than the {1} the separator makes: the source "
         "falls back on air. Fit smaller vents, open them by turns, or take a larger source.",
         {{duty.demand * one, Dimension::standard_flow}, {*duty.separator * one, Dimension::standard_flow}}});
}

void find_dead_branches(const plant::Riser& riser, std::vector<Message>& out) {
    if (riser.vents.empty()) {
        out.push_back(
            {Code::no_way_out,
             Level::warning,
             riser.name,
             "The system has no vent: gas leaves through leaks alone, and the oxygen of the air it was "
             "filled with stays. Fit a vent at its far end.",
             {}});
        return;
    }
    for (const std::size_t p : dead_branches(riser)) {
        out.push_back(
            {Code::no_way_out,
             Level::warning,
             riser.name + " / " + line_name(riser, p),
             "No vent on this pipe or beyond it: its oxygen leaves only by leaks and by mixing from its "
             "mouth. A vent at its far end would let nitrogen through.",
             {}});
    }
}

void find_leak(const plant::Riser& riser, const RiserDuty& duty, std::vector<Message>& out) {
    const AcceptanceTest test;
    if (!duty.test_loss || *duty.test_loss <= test.loss_allowed * (1.0 + 1e-9)) return;
    out.push_back(
        {Code::leak_above_acceptance,
         Level::warning,
         riser.name,
         "The leaks given would lose {0} in the usual air test ({1} for {2}); {3} is allowed (NFPA 13). "
         "Find and mend leaks before purging.",
         {{*duty.test_loss, Dimension::pressure},
          {test.gauge_pressure, Dimension::pressure},
          {test.duration, Dimension::time},
          {test.loss_allowed, Dimension::pressure}}});
}

/// What shut-in piping loses of its pressure by cooling alone, in the usual air test.
void find_swing(const plant::Plant& plant, const plant::Riser& riser, std::vector<Message>& out) {
    const AcceptanceTest test;
    const plant::Temperature& course = plant::temperature_of(riser, plant.site);
    const double fall = course.warmest() - course.coldest();
    const double loss = (plant.site.pressure + test.gauge_pressure) * fall / course.warmest();
    if (loss <= test.loss_allowed) return;
    out.push_back(
        {Code::temperature_swing,
         Level::note,
         riser.name,
         "Its temperature falls by {0} from warmest to coldest. That alone lowers the pressure of tight "
         "piping "
         "shut in at {2} by {1}, more than the {3} that the usual air test allows (NFPA 13). Test while the "
         "temperature is steady, or correct the readings for it.",
         {{fall, Dimension::temperature_difference},
          {loss, Dimension::pressure},
          {test.gauge_pressure, Dimension::pressure},
          {test.loss_allowed, Dimension::pressure}}});
}

void find_supply(const plant::Plant& plant, const plant::Riser& riser, const RiserDuty& duty,
                 std::vector<Message>& out) {
    const double demand = duty.vents_open + duty.leaks;
    if (std::holds_alternative<plant::PressureSwitch>(riser.supply) || duty.supply_capacity >= demand) return;
    const double one = plant::standard_volume(plant.site.reference, 1.0);
    out.push_back(
        {Code::supply_too_small,
         Level::warning,
         riser.name,
         "With its vents open the system needs {0}, but its supply orifice passes only {1} when the "
         "pressure ahead of it is at its lowest: the pressure will sag. Fit a larger supply orifice or "
         "smaller vents.",
         {{demand * one, Dimension::standard_flow}, {duty.supply_capacity * one, Dimension::standard_flow}}});
}

void find_idle_vents(const plant::Riser& riser, std::vector<Message>& out) {
    double highest = riser.set_pressure;
    if (const auto* s = std::get_if<plant::PressureSwitch>(&riser.supply))
        highest = std::max(highest, s->high);
    for (const plant::Vent& vent : riser.vents) {
        const auto* between = std::get_if<plant::OpenBetween>(&vent.policy);
        if (!between || between->high <= highest * (1.0 + 1e-9)) continue;
        out.push_back({Code::vent_never_opens,
                       Level::warning,
                       riser.name + " / " + vent.name,
                       "The vent opens at {0}, but the supply raises the system to {1} only: it never opens.",
                       {{between->high, Dimension::gauge_pressure}, {highest, Dimension::gauge_pressure}}});
    }
}

void find_unevenness(const plant::Plant& plant, std::size_t r, std::vector<Message>& out) {
    const Unevenness uneven = unevenness(plant, r);
    if (uneven.worst() <= uneven_beyond) return;
    out.push_back(
        {Code::pressure_not_uniform,
         Level::note,
         plant.risers[r].name,
         "Pipe friction is expected to matter: about {0} of the gas of the fill is still missing when the "
         "set pressure is reached where gas enters, and open vents pass about {1} less. One pressure in "
         "all of the system is assumed unless friction is resolved (`oxfade predict --friction`).",
         {{uneven.fill, Dimension::fraction}, {uneven.vents, Dimension::fraction}}});
}

void find_fill(const plant::Plant& plant, const PlantDuty& duty, const Outcome& run, std::size_t r,
               std::vector<Message>& out) {
    const RiserOutcome& riser = run.risers[r];
    const double one = plant::standard_volume(plant.site.reference, 1.0);
    const Value needed{duty.risers[r].fill_flow_needed * one, Dimension::standard_flow};
    if (!riser.fill_time) {
        out.push_back({Code::riser_never_filled,
                       Level::failure,
                       riser.name,
                       riser.fill_start
                           ? "Set pressure not reached: {0} at the end, set pressure {1}. Check the pressure "
                             "and flow of the source, and the leaks."
                           : "Filling never started: the systems before it were not full. {0} at the end, "
                             "set pressure {1}.",
                       {{riser.final_pressure, Dimension::gauge_pressure},
                        {plant.risers[r].set_pressure, Dimension::gauge_pressure}}});
        return;
    }
    if (*riser.fill_time <= riser.fill_limit) return;  // of a later one, what is said of the trip tells
    out.push_back(
        {Code::fill_limit_exceeded,
         Level::warning,
         riser.name,
         "The fill takes {0}, {1} over its limit of {2}. A source flow of about {3} while filling, with a "
         "fill passage to match, would meet the limit.",
         {{*riser.fill_time, Dimension::time},
          {*riser.fill_time - riser.fill_limit, Dimension::time},
          {riser.fill_limit, Dimension::time},
          needed}});
}

void find_source(const plant::Plant& plant, const Outcome& run, std::vector<Message>& out) {
    if (run.source.empty_at) {
        const double content = std::get<plant::Cylinders>(plant.source).content;
        out.push_back(
            {Code::source_empty,
             Level::failure,
             "source",
             "The {0} in the cylinders are used up after {1}: nothing keeps the pressure from then on.",
             {{content, Dimension::standard_volume}, {*run.source.empty_at, Dimension::time}}});
    }
    if (run.source.air_after_fill > 0.0) {
        const PlantDuty duty = duty_of(plant);
        const bool too_much = duty.separator && duty.demand > *duty.separator;
        out.push_back(
            {Code::air_after_fill,
             Level::warning,
             "source",
             std::string("With all systems in service the source ran on plain air for {0}, which brings "
                         "oxygen back into the piping. ") +
                 (too_much
                      ? "The systems need more than the separator makes: fit smaller vents, stop leaks or "
                        "take a larger source."
                      : "On average the systems need less than the separator makes: the receiver ran "
                        "low for a while, as after an outage, and was filled up with air."),
             {{run.source.air_after_fill, Dimension::time}}});
    }
}

void soften_harmless_dead_ends(const Outcome& run, std::vector<Message>& messages) {
    for (Message& message : messages) {
        if (message.code != Code::no_way_out) continue;
        for (const RiserOutcome& riser : run.risers) {
            const bool about_it =
                message.where == riser.name || message.where.rfind(riser.name + " / ", 0) == 0;
            if (about_it && riser.time_to_target) message.level = Level::note;
        }
    }
}

std::vector<Message> all_before(const plant::Plant& plant) {
    std::vector<Message> out;
    const PlantDuty duty = duty_of(plant);
    find_actions_before(plant, out);
    find_less_than_air(plant, out);
    find_air_pressure(plant, out);
    find_purity(plant, out);
    find_demand(plant, duty, out);
    for (std::size_t r = 0; r < plant.risers.size(); ++r) {
        find_dead_branches(plant.risers[r], out);
        find_leak(plant.risers[r], duty.risers[r], out);
        find_swing(plant, plant.risers[r], out);
        find_supply(plant, plant.risers[r], duty.risers[r], out);
        find_idle_vents(plant.risers[r], out);
        find_unevenness(plant, r, out);
        find_water_before(plant, r, out);
    }
    return out;
}

}  // namespace

std::vector<Message> findings_before(const plant::Plant& plant) { return grouped(all_before(plant)); }

std::vector<Message> findings_after(const plant::Plant& plant, const Outcome& outcome) {
    std::vector<Message> out = all_before(plant);
    soften_harmless_dead_ends(outcome, out);
    const PlantDuty duty = duty_of(plant);
    find_source(plant, outcome, out);
    find_actions_after(plant, outcome, out);
    for (std::size_t r = 0; r < outcome.risers.size(); ++r) {
        find_fill(plant, duty, outcome, r, out);
        find_target_after(outcome, r, out);
        find_water_after(plant, outcome, r, out);
    }
    std::stable_sort(out.begin(), out.end(),
                     [](const Message& a, const Message& b) { return a.level > b.level; });
    return grouped(out);
}

std::optional<Code> reason_not_met(const plant::Plant& plant, const Outcome& outcome, std::size_t r) {
    const RiserOutcome& riser = outcome.risers[r];
    if (riser.time_to_target) return std::nullopt;
    if (unreachable(plant)) return Code::target_above_purity;
    if (outcome.source.empty_at) return Code::source_empty;
    if (!riser.fill_time) return Code::riser_never_filled;
    if (const auto done = action_in_the_way(plant, r)) return done;
    const PlantDuty duty = duty_of(plant);
    if (duty.separator && duty.demand > *duty.separator) return Code::vents_above_separator;
    if (outcome.source.air_after_fill > 0.0) return Code::air_after_fill;
    const plant::Riser& given = plant.risers[r];
    if (given.vents.empty()) return Code::no_way_out;
    const auto limiting = given.pipe_index(riser.limiting_pipe);
    if (limiting && in_dead_branch(given, dead_branches(given), *limiting)) return Code::no_way_out;
    if (const auto blocking = blocking_low_point(plant, outcome, r)) {
        return riser.low_points[*blocking].stopped_at_end ? Code::liquid_stop_shut : Code::water_blocks;
    }
    return tripped_since_target(plant, riser) ? Code::tripped : Code::run_too_short;
}

std::optional<double> likely_time_to_target(const Outcome& outcome, std::size_t r) {
    const History& history = outcome.history;
    if (history.times.size() < 20) return std::nullopt;
    std::size_t first = 0, count = 0;
    for (std::size_t k = 0; k <= r; ++k) {
        first += count;
        count = 0;
        for (const PipeOutcome& pipe : outcome.risers[k].pipes) count += pipe.oxygen.size();
    }
    const std::size_t last = history.times.size() - 1, before = last - last / 5;
    const double floor = 1.0 - outcome.nitrogen_purity, wanted = 1.0 - outcome.target;
    double latest = 0.0;
    for (std::size_t c = first; c < first + count; ++c) {
        const double early = history.oxygen.at(before, c) - floor, late = history.oxygen.at(last, c) - floor;
        if (late + floor <= wanted) continue;
        if (!(early > late * (1.0 + 1e-6)) || late <= 0.0 || wanted <= floor) return std::nullopt;
        const double rate = std::log(early / late) / (history.times[last] - history.times[before]);
        latest = std::max(latest, history.times[last] + std::log(late / (wanted - floor)) / rate);
    }
    if (!(latest > 0.0) || latest > 100.0 * outcome.duration) return std::nullopt;
    return latest;
}

}  // namespace oxfade::outcome
