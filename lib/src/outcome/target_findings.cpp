#include "outcome/target_findings.hpp"

#include <algorithm>
#include <string>

namespace oxfade::outcome {
namespace {

/// The highest oxygen fraction of a riser at the end.
double worst_oxygen(const RiserOutcome& riser) {
    double worst = 0.0;
    for (const PipeOutcome& pipe : riser.pipes) {
        for (const double oxygen : pipe.oxygen) worst = std::max(worst, oxygen);
    }
    return worst;
}

/// How far a system is from what its target asks for at the end, as the start of a message.
Message shortfall(const Outcome& run, const RiserOutcome& riser) {
    Message message{Code::run_too_short, Level::failure, riser.name, "", {{run.duration, Dimension::time}}};
    double oxygen = 0.0;
    if (run.target_at == plant::TargetAt::average) {
        oxygen = riser.average_oxygen;
        message.text = "After {0} the average of the piping is at {1} nitrogen; the target is {2}.";
    } else if (run.target_at == plant::TargetAt::readings && !riser.readings.empty()) {
        const auto worst = std::max_element(riser.readings.begin(), riser.readings.end(),
                                            [](const auto& a, const auto& b) { return a.oxygen < b.oxygen; });
        oxygen = worst->oxygen;
        message.text =
            "After {0} an analyser at '" + worst->name + "' reads {1} nitrogen; the target is {2}.";
    } else {
        oxygen = worst_oxygen(riser);
        message.text = "After {0} the worst cell, in '" + riser.limiting_pipe +
                       "', is at {1} nitrogen; the target is {2}.";
    }
    message.values.push_back({1.0 - oxygen, Dimension::fraction});
    message.values.push_back({run.target, Dimension::fraction});
    return message;
}

void find_target(const Outcome& run, std::size_t r, std::vector<Message>& out) {
    const RiserOutcome& riser = run.risers[r];
    if (riser.time_to_target) return;
    if (!riser.at_target.empty()) {
        out.push_back({Code::target_lost,
                       Level::warning,
                       riser.name,
                       "The target was met from {0} to {1} and lost again.",
                       {{riser.at_target.back().begin, Dimension::time},
                        {riser.at_target.back().end, Dimension::time}}});
    }
    if (riser.not_met_because != Code::run_too_short && riser.not_met_because != Code::tripped) return;
    Message message = shortfall(run, riser);
    if (run.target_at == plant::TargetAt::everywhere) {
        if (const auto likely = likely_time_to_target(run, r)) {
            message.text += " At this rate it would be met after about {3}.";
            message.values.push_back({*likely, Dimension::time});
        } else {
            message.text += " The trend does not lead there.";
        }
    }
    out.push_back(std::move(message));
}

/// Gas at a vent has come past branch lines, not out of them.
void find_misleading_readings(const Outcome& run, const RiserOutcome& riser, std::vector<Message>& out) {
    constexpr double much_longer = 1.2, at_least = 2.0 * 3600.0;
    if (!riser.time_at_readings) return;
    const double read = *riser.time_at_readings;
    const std::string far =
        riser.limiting_pipe.empty() ? std::string() : ", as at the far end of '" + riser.limiting_pipe + "'";
    const std::string what_to_do =
        " An analyser at a vent shows the gas that flows past branch lines, not the gas that stands in them. "
        "Take samples in dead ends" +
        far + ", before the system is called purged.";
    if (!riser.time_everywhere) {
        out.push_back({Code::readings_mislead,
                       Level::warning,
                       riser.name,
                       "All vents and sampling points read {0} nitrogen after {1}, but the worst part of the "
                       "piping is still at {2} after {3}." +
                           what_to_do,
                       {{run.target, Dimension::fraction},
                        {read, Dimension::time},
                        {1.0 - worst_oxygen(riser), Dimension::fraction},
                        {run.duration, Dimension::time}}});
        return;
    }
    const double all = *riser.time_everywhere;
    if (all <= much_longer * read || all - read < at_least) return;
    out.push_back({Code::readings_mislead,
                   Level::warning,
                   riser.name,
                   "All vents and sampling points read {0} nitrogen after {1}, but every part of the piping "
                   "is there only after {2}." +
                       what_to_do,
                   {{run.target, Dimension::fraction}, {read, Dimension::time}, {all, Dimension::time}}});
}

}  // namespace

void find_target_after(const Outcome& outcome, std::size_t r, std::vector<Message>& out) {
    find_target(outcome, r, out);
    find_misleading_readings(outcome, outcome.risers[r], out);
}

}  // namespace oxfade::outcome
