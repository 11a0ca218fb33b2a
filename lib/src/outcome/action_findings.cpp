#include "outcome/action_findings.hpp"

#include <algorithm>
#include <string>

namespace oxfade::outcome {
namespace {

using plant::Action;
using plant::Deed;

/// The actions of one kind, by date.
std::vector<const Action*> actions_of(const plant::Plant& plant, Deed deed) {
    std::vector<const Action*> out;
    for (const std::size_t i : plant::actions_in_order(plant)) {
        if (plant.actions[i].deed == deed) out.push_back(&plant.actions[i]);
    }
    return out;
}

/// The last of them that is of a riser; null when there is none.
const Action* last_of(const std::vector<const Action*>& actions, const std::string& riser) {
    const auto found = std::find_if(actions.rbegin(), actions.rend(),
                                    [&](const Action* action) { return action->riser == riser; });
    return found == actions.rend() ? nullptr : *found;
}

/// What stands shut at the end, by hand.
std::vector<const Action*> shut_at_end(const plant::Plant& plant) {
    std::vector<const Action*> shut;
    for (const std::size_t i : plant::actions_in_order(plant)) {
        const Action& action = plant.actions[i];
        if (action.deed == Deed::shut) shut.push_back(&action);
        if (action.deed != Deed::open) continue;
        std::erase_if(shut, [&](const Action* earlier) {
            return earlier->riser == action.riser && earlier->what == action.what;
        });
    }
    return shut;
}

/// The outage that has not ended at the end; null when the source works then.
const Action* outage_at_end(const plant::Plant& plant) {
    const auto outages = actions_of(plant, Deed::outage), restored = actions_of(plant, Deed::restore);
    return outages.size() > restored.size() ? outages.back() : nullptr;
}

/// When the outage that begins at a time ends [s]: at the end of the run at the latest.
double end_of_outage(const plant::Plant& plant, double begin) {
    for (const Action* action : actions_of(plant, Deed::restore)) {
        if (action->at >= begin) return action->at;
    }
    return plant.duration;
}

/// Whether an action drains a low point after a moment, in the order in which things are done.
bool drained_after(const plant::Plant& plant, const Action& trip, const std::string& low_point) {
    bool later = false;
    for (const std::size_t i : plant::actions_in_order(plant)) {
        const Action& action = plant.actions[i];
        if (&action == &trip) later = true;
        const bool meant = action.what.empty() || action.what == low_point;
        if (later && action.deed == Deed::drain && action.riser == trip.riser && meant) return true;
    }
    return false;
}

void find_water_after_trip(const plant::Plant& plant, const Action& trip, std::vector<Message>& out) {
    for (const plant::Riser& riser : plant.risers) {
        if (riser.name != trip.riser) continue;
        for (const plant::LowPoint& low_point : riser.low_points) {
            if (drained_after(plant, trip, low_point.name)) continue;
            out.push_back(
                {Code::tripped,
                 Level::warning,
                 riser.name + " / " + low_point.name,
                 "The trip on {0} leaves {1} of water in it again, and nothing drains it after that.",
                 {{trip.at, Dimension::day}, {low_point.water, Dimension::volume}}});
        }
    }
}

/// The stretches of a run from a date on to another.
template <class Visit>
void stretches_within(const Outcome& run, double begin, double end, const Visit& visit) {
    for (const RunStretch& stretch : run.stretches) {
        if (stretch.begin >= begin && stretch.end <= end) visit(stretch);
    }
}

void find_trip(const plant::Plant& plant, const Outcome& run, const Action& trip, std::vector<Message>& out) {
    const auto r = static_cast<std::size_t>(
        std::find_if(run.risers.begin(), run.risers.end(),
                     [&](const RiserOutcome& riser) { return riser.name == trip.riser; }) -
        run.risers.begin());
    const RiserOutcome& riser = run.risers.at(r);
    double next = run.duration;  // what comes of this trip is told until the next one
    for (const Action* other : actions_of(plant, Deed::trip)) {
        if (other->riser == trip.riser && other->at > trip.at) next = std::min(next, other->at);
    }
    Message message{Code::tripped,
                    Level::note,
                    riser.name,
                    "It tripped on {0}: its gas was lost, and water and air took its place.",
                    {{trip.at, Dimension::day}}};
    const auto add = [&](const std::string& before, double value, Dimension dimension) {
        message.text += before + "{" + std::to_string(message.values.size()) + "}";
        message.values.push_back({value, dimension});
    };
    const auto full = std::find_if(riser.refills.begin(), riser.refills.end(), [&](const Stretch& fill) {
        return fill.begin >= trip.at && fill.end <= next;
    });
    if (full == riser.refills.end()) {
        message.text += " It was not filled again.";
        message.level = Level::warning;
    } else {
        add(" It was full again after ", full->end - trip.at, Dimension::time);
        if (full->end - full->begin > riser.fill_limit) {
            add(", the fill itself took ", full->end - full->begin, Dimension::time);
            add(", over its limit of ", riser.fill_limit, Dimension::time);
            message.level = Level::warning;
        }
        message.text += '.';
    }
    const auto good = std::find_if(
        riser.at_target.begin(), riser.at_target.end(),
        [&](const Stretch& stretch) { return stretch.begin >= trip.at && stretch.begin < next; });
    if (good == riser.at_target.end()) {
        message.text += next < run.duration ? " It did not meet the target again before it tripped once more."
                                            : " It did not meet the target again by the end.";
        message.level = Level::warning;
    } else {
        add(" It met the target again after ", good->begin - trip.at, Dimension::time);
        message.text += '.';
    }
    out.push_back(std::move(message));
}

void find_outage(const plant::Plant& plant, const Outcome& run, const Action& outage,
                 std::vector<Message>& out) {
    const double end = end_of_outage(plant, outage.at);
    Message message{Code::source_stopped,
                    Level::warning,
                    "source",
                    end < run.duration ? "The source was stopped from {0} to {1}."
                                       : "The source was stopped on {0}, and does not work at the end.",
                    {{outage.at, Dimension::day}, {end, Dimension::day}}};
    double lowest = 0.0, at_set = 0.0;
    std::size_t sagging = run.risers.size();
    for (std::size_t r = 0; r < run.risers.size(); ++r) {
        stretches_within(run, outage.at, end, [&](const RunStretch& stretch) {
            const double pressure = stretch.risers[r].lowest;
            const double ratio = pressure / plant.risers[r].set_pressure;
            if (!(pressure > 0.0) || (sagging < run.risers.size() && ratio >= lowest / at_set)) return;
            lowest = pressure;
            at_set = plant.risers[r].set_pressure;
            sagging = r;
        });
    }
    if (sagging < run.risers.size()) {
        message.text += " Meanwhile the pressure of " + run.risers[sagging].name + " was as low as {2}.";
        message.values.push_back({lowest, Dimension::gauge_pressure});
    }
    out.push_back(std::move(message));
}

}  // namespace

void find_actions_before(const plant::Plant& plant, std::vector<Message>& out) {
    for (const Action* trip : actions_of(plant, Deed::trip)) find_water_after_trip(plant, *trip, out);
    for (const Action* shut : shut_at_end(plant)) {
        out.push_back(
            {Code::valve_shut,
             Level::warning,
             shut->riser + " / " + shut->what,
             shut->what == plant::supply_valve
                 ? "The supply is shut on {0} and not opened again: nothing keeps the pressure from then on."
                 : "The vent is shut on {0} and not opened again.",
             {{shut->at, Dimension::day}}});
    }
}

void find_actions_after(const plant::Plant& plant, const Outcome& run, std::vector<Message>& out) {
    for (const Action* trip : actions_of(plant, Deed::trip)) find_trip(plant, run, *trip, out);
    for (const Action* outage : actions_of(plant, Deed::outage)) find_outage(plant, run, *outage, out);
}

std::optional<Code> action_in_the_way(const plant::Plant& plant, std::size_t riser) {
    if (plant.actions.empty()) return std::nullopt;
    if (outage_at_end(plant) != nullptr) return Code::source_stopped;
    const bool shut = last_of(shut_at_end(plant), plant.risers[riser].name) != nullptr;
    return shut ? std::optional(Code::valve_shut) : std::nullopt;
}

bool tripped_since_target(const plant::Plant& plant, const RiserOutcome& riser) {
    const Action* trip = last_of(actions_of(plant, Deed::trip), riser.name);
    return trip != nullptr && !riser.at_target.empty() && riser.at_target.back().end <= trip->at;
}

}  // namespace oxfade::outcome
