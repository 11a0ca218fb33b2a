#include "outcome/water_findings.hpp"

#include <algorithm>
#include <string>

#include "oxfade/flow/dip.hpp"
#include "oxfade/plant/standing_water.hpp"

namespace oxfade::outcome {
namespace {

constexpr double freezing = 273.15;

std::string place_of(const plant::Riser& riser, const std::string& low_point) {
    return riser.name + " / " + low_point;
}

void find_lying_water(const plant::Plant& plant, const plant::Riser& riser, std::size_t i,
                      std::vector<Message>& out) {
    const plant::LowPoint& given = riser.low_points[i];
    const flow::DipWater water = plant::standing_water(riser, i);
    Message message{
        Code::water_lies, Level::note, place_of(riser, given.name), "", {{given.water, Dimension::volume}}};
    if (!water.closed) {
        message.text =
            "Its {0} of water leave {1} of the bore free: gas passes, and the water gives back oxygen "
            "that is dissolved in it.";
        message.values.push_back({water.free_share, Dimension::fraction});
    } else {
        const double temperature = plant::temperature_of(riser, plant.site).mean();
        const double behind = flow::seal_strength(water.rise_behind, temperature);
        const double before = flow::seal_strength(water.rise_before, temperature);
        message.text =
            behind == before
                ? "Its {0} of water close the bore: gas bubbles through only while the pressures on its "
                  "two sides differ by {1} ({2} of water)."
                : "Its {0} of water close the bore: gas bubbles on into the piping behind it only while "
                  "the pressures differ by {1} ({2} of water), and back by {3}.";
        message.values.push_back({behind, Dimension::pressure});
        message.values.push_back({water.rise_behind, Dimension::length});
        message.values.push_back({before, Dimension::pressure});
    }
    out.push_back(std::move(message));
}

void find_ice(const plant::Plant& plant, const plant::Riser& riser, std::vector<Message>& out) {
    const double coldest = plant::temperature_of(riser, plant.site).coldest();
    if (coldest >= freezing) return;
    for (const plant::LowPoint& given : riser.low_points) {
        out.push_back(
            {Code::ice_plug,
             Level::warning,
             place_of(riser, given.name),
             "The piping gets as cold as {0}: its {1} of water freeze. A plug of ice holds back nitrogen, "
             "and water in a fire. Drain it before the frost. The run counts it as liquid.",
             {{coldest, Dimension::temperature}, {given.water, Dimension::volume}}});
    }
}

/// What the riser would do without its water, as the end of a message.
void add_without_water(const RiserOutcome& riser, Message& message) {
    const std::string next = "{" + std::to_string(message.values.size()) + "}";
    if (riser.time_without_water) {
        message.text +=
            " Drained of all water from the start, the system would meet the target after " + next + ".";
        message.values.push_back({*riser.time_without_water, Dimension::time});
    } else if (riser.worst_without_water) {
        message.text += " Drained of all water from the start, its worst cell would still hold " + next +
                        " nitrogen only: the water is not all that is in the way.";
        message.values.push_back({1.0 - *riser.worst_without_water, Dimension::fraction});
    }
}

/// Highest oxygen of a pipe and of what hangs on it.
double worst_behind(const plant::Riser& given, const RiserOutcome& riser, std::size_t first) {
    double worst = 0.0;
    for (std::size_t p = 0; p < riser.pipes.size(); ++p) {
        for (auto above = std::optional<std::size_t>(p); above; above = given.parent_index(*above)) {
            if (*above != first) continue;
            for (const double oxygen : riser.pipes[p].oxygen) worst = std::max(worst, oxygen);
            break;
        }
    }
    return worst;
}

void find_blocked(const plant::Riser& given, const Outcome& run, const RiserOutcome& riser, std::size_t i,
                  bool reason, std::vector<Message>& out) {
    const LowPointOutcome& water = riser.low_points[i];
    if (water.stopped_at_end || !(water.closed_at_end || water.bubbling_at_end)) return;
    const double worst = worst_behind(given, riser, *given.pipe_index(given.low_points[i].on));
    if (!reason && worst <= 1.0 - run.target) return;
    Message message{
        Code::water_blocks,
        reason ? Level::failure : Level::warning,
        place_of(given, water.name),
        "Its water kept gas from passing for {0} of {1}, and at other times let bubble through no more "
        "than leaks and vents behind it drew. Behind it the piping holds as little as {2} nitrogen at "
        "the end. Drain it.",
        {{water.closed_time, Dimension::time},
         {run.duration, Dimension::time},
         {1.0 - worst, Dimension::fraction}}};
    if (reason) add_without_water(riser, message);
    out.push_back(std::move(message));
}

void find_stopped_vent(const plant::Riser& given, const RiserOutcome& riser, std::size_t i, bool reason,
                       std::vector<Message>& out) {
    const LowPointOutcome& water = riser.low_points[i];
    if (water.stopped_vent.empty()) return;
    Message message{Code::liquid_stop_shut,
                    Level::warning,
                    place_of(given, water.stopped_vent),
                    "Water from '" + water.name +
                        "' came along with the gas ({0}) and shut the vent's liquid stop on {1}",
                    {{water.carried, Dimension::volume}, {water.stopped_at, Dimension::day}}};
    if (water.stopped_at_end) {
        const double worst = worst_behind(given, riser, *given.pipe_index(given.low_points[i].on));
        message.text +=
            ". The vent passes no gas until that water is drained, and behind the low point the piping "
            "holds as little as {2} nitrogen at the end. Drain '" +
            water.name + "' and the vent.";
        message.values.push_back({1.0 - worst, Dimension::fraction});
        if (reason) message.level = Level::failure;
        if (reason) add_without_water(riser, message);
    } else {
        message.text += "; it was drained later, and the vent passes gas again.";
        message.level = Level::note;
    }
    out.push_back(std::move(message));
}

}  // namespace

void find_water_before(const plant::Plant& plant, std::size_t riser, std::vector<Message>& out) {
    const plant::Riser& given = plant.risers[riser];
    for (std::size_t i = 0; i < given.low_points.size(); ++i) find_lying_water(plant, given, i, out);
    find_ice(plant, given, out);
}

void find_water_after(const plant::Plant& plant, const Outcome& run, std::size_t riser,
                      std::vector<Message>& out) {
    constexpr double much = 1e-6;  // condensed water worth a word [m3]
    const plant::Riser& given = plant.risers[riser];
    const RiserOutcome& after = run.risers[riser];
    const auto reason = blocking_low_point(plant, run, riser);
    for (std::size_t i = 0; i < after.low_points.size(); ++i) {
        find_blocked(given, run, after, i, reason == i, out);
        find_stopped_vent(given, after, i, reason == i, out);
    }
    if (after.condensed < much) return;
    out.push_back(
        {Code::condensation,
         Level::warning,
         given.name,
         "Vapour from its low points condensed in the pipes: up to {0} of water stood on their walls. It "
         "runs to the next low point, and wets steel that was dry.",
         {{after.condensed, Dimension::volume}}});
}

std::optional<std::size_t> blocking_low_point(const plant::Plant& plant, const Outcome& run,
                                              std::size_t riser) {
    const plant::Riser& given = plant.risers[riser];
    const RiserOutcome& after = run.risers[riser];
    if (after.time_to_target || after.low_points.empty()) return std::nullopt;
    for (auto p = given.pipe_index(after.limiting_pipe); p; p = given.parent_index(*p)) {
        const auto i = plant::low_point_on(given, *p);
        if (!i) continue;
        const LowPointOutcome& water = after.low_points[*i];
        if (water.closed_at_end || water.bubbling_at_end || water.stopped_at_end) return i;
    }
    for (std::size_t i = 0; i < after.low_points.size(); ++i) {
        if (after.low_points[i].stopped_at_end) return i;
    }
    return std::nullopt;
}

}  // namespace oxfade::outcome
