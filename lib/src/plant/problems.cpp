#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "oxfade/gas/constants.hpp"
#include "oxfade/plant/limits.hpp"
#include "plant/checks.hpp"
#include "text/date.hpp"
#include "text/key_path.hpp"

namespace oxfade::plant {
namespace detail {
namespace {

/// What a machine makes [m3/s], and the least time in which it may fill its receiver from `start` to `stop`
/// [s].
struct Pace {
    double flow, least;
};

/// A receiver that is full in no time would have its machine start and stop without end.
void check_machine_run(Checks& checks, const Receiver& receiver, const Pace& pace, const Plant& plant) {
    const double moles = (receiver.stop - receiver.start) * receiver.volume /
                         (gas::gas_constant * plant.site.temperature.mean());
    const double run = moles / standard_moles(plant.site.reference, pace.flow);
    if (!(run > 0.0 && run < pace.least)) return;  // not above zero: something is told already
    checks.add(
        "source.receiver.volume", fmt::format("{:.3g} m3", receiver.volume),
        fmt::format("is too small: the machine would be through from `start` to `stop` in {:.2g} s", run),
        fmt::format("at least {:.3g} m3 with these pressures and flows; look at their units",
                    receiver.volume * pace.least / run));
}

/// The pressures between which a machine with a receiver starts and stops, and its pace.
/// True when `start` is sound.
bool check_receiver(Checks& checks, const Receiver& receiver, const Pace& pace, const Plant& plant) {
    const std::string path = "source.receiver.";
    const bool size = checks.positive(path + "volume", receiver.volume, volume);
    checks.not_negative(path + "initial_pressure", receiver.initial_pressure, pressure);
    const bool start = checks.positive(path + "start", receiver.start, pressure);
    const bool stop = checks.positive(path + "stop", receiver.stop, pressure);
    if (start && stop) {
        const bool order =
            checks.require(receiver.start < receiver.stop, path + "start", receiver.start, pressure,
                           "must be below `stop`", "the machine starts at `start` and runs until `stop`");
        if (order && size) check_machine_run(checks, receiver, pace, plant);
    }
    return start;
}

void check_power(Checks& checks, const std::optional<double>& given) {
    if (given) checks.positive("source.power", *given, power);
}

struct SourceChecks {
    Checks& checks;
    const Plant& plant;

    void operator()(const Generator& generator) const {
        checks.within("source.purity", generator.purity, 0.0, 1.0, "");
        checks.positive("source.nitrogen_flow", generator.nitrogen_flow, volume_flow);
        checks.positive("source.air_flow", generator.air_flow, volume_flow);
        check_power(checks, generator.power);
        const Pace nitrogen{generator.nitrogen_flow, limits::machine_run};
        const Pace air{generator.air_flow, limits::air_run};
        const bool air_counts = air.flow * air.least > nitrogen.flow * nitrogen.least;
        const bool start = check_receiver(checks, generator.receiver, air_counts ? air : nitrogen, plant);
        const std::string key = "source.receiver.air_below";
        const bool air_below = checks.positive(key, generator.air_below, pressure);
        if (start && air_below) {
            checks.require(generator.air_below < generator.receiver.start, key, generator.air_below, pressure,
                           "must be below `start`", "else the generator would never make nitrogen");
        }
    }
    void operator()(const Cylinders& cylinders) const {
        checks.within("source.purity", cylinders.purity, 0.0, 1.0, "");
        checks.positive("source.content", cylinders.content, volume);
        checks.positive("source.delivery_pressure", cylinders.delivery_pressure, pressure);
    }
    void operator()(const Compressor& compressor) const {
        checks.positive("source.air_flow", compressor.air_flow, volume_flow);
        check_power(checks, compressor.power);
        check_receiver(checks, compressor.receiver, {compressor.air_flow, limits::machine_run}, plant);
    }
};

}  // namespace

void check_site(Checks& checks, const Site& site) {
    checks.positive("site.pressure", site.pressure, pressure);
    check_temperature(checks, site.temperature, "site.temperature");
    checks.positive("site.reference.pressure", site.reference.pressure, pressure);
    checks.positive("site.reference.temperature", site.reference.temperature, temperature);
}

void check_source(Checks& checks, const Plant& plant) {
    std::visit(SourceChecks{checks, plant}, plant.source);
}

void check_mixing(Checks& checks, const Mixing& mixing) {
    checks.within("mixing.mouth", mixing.mouth, 0.0, limits::mouth, "");
    checks.within("mixing.warm_end", mixing.warm_end, -limits::warm_end, limits::warm_end, "K");
}

/// Where readings are to show the target, every riser needs an analyser.
void check_readings(Checks& checks, const Plant& plant) {
    if (plant.target_at != TargetAt::readings) return;
    for (const Riser& riser : plant.risers) {
        if (!riser.vents.empty() || !riser.samples.empty()) continue;
        checks.add("target_at", "readings",
                   fmt::format("riser `{}` has no vent and no sampling point to read at", riser.name),
                   "add a [[riser.sample]], or ask for \"average\" or \"everywhere\"");
    }
}

/// What costs memory and time as a whole, though each of its parts is allowed.
void check_size(Checks& checks, const Plant& plant) {
    double compartments = 0.0, copies = 0.0, openings = 0.0;
    bool counted = true;  // else told already
    for (const Riser& riser : plant.risers) {
        const std::vector<int> times = riser.copies();
        for (std::size_t p = 0; p < riser.pipes.size(); ++p) {
            const int cells = std::clamp(riser.pipes[p].cells.value_or(1), 0, limits::cells);
            compartments += cells;
            copies += double(cells) * std::max(times[p], 1);
            counted = counted && riser.pipes[p].count <= limits::count;
        }
        for (const Vent& vent : riser.vents) {
            const auto* timed = std::get_if<OpenTimed>(&vent.policy);
            if (timed != nullptr && timed->every > 0.0) openings += plant.duration / timed->every;
        }
    }
    if (counted && copies > limits::copies) {
        checks.add("riser", "", fmt::format("all pipes with their copies make {:.0f} cells", copies),
                   fmt::format("at most {:.0f}; look at each `count`, and remember that counts multiply",
                               limits::copies));
    }
    if (compartments > limits::compartments) {
        checks.add("riser", "", fmt::format("the plant is cut into {} compartments", compartments),
                   fmt::format("at most {}; take fewer `cells`", limits::compartments));
    } else if (openings <= limits::openings && openings * compartments > limits::openings_of_parts) {
        checks.add(
            "riser", "",
            fmt::format("{} compartments and {:.3g} openings of vents are too much to compute", compartments,
                        openings),
            fmt::format("a product of at most {:.0g}; take fewer `cells`, a longer `every` or a shorter "
                        "`duration`",
                        limits::openings_of_parts));
    }
}

}  // namespace detail

std::vector<Problem> find_problems(const Plant& plant) {
    detail::Checks checks;
    if (!plant.start.empty() && !text::parse_date(plant.start))
        checks.add("start", plant.start, "is not a date and time", std::string(start_allowed));
    checks.positive("duration", plant.duration, detail::run_time);
    checks.strictly_within("target", plant.target, 0.0, 1.0);
    detail::check_site(checks, plant.site);
    detail::check_source(checks, plant);
    if (plant.risers.empty())
        checks.add("riser", "", "there is no riser", "at least one [[riser]] is wanted");
    const auto names = detail::names_of(plant.risers);
    checks.names("riser", names, "riser");
    const auto segments = text::entry_segments(names);
    for (std::size_t i = 0; i < plant.risers.size(); ++i) {
        detail::check_riser(checks, plant, plant.risers[i], text::join_path("riser", segments[i]));
    }
    detail::check_mixing(checks, plant.mixing);
    detail::check_readings(checks, plant);
    detail::check_size(checks, plant);
    detail::check_actions(checks, plant);
    if (checks.none()) detail::check_changes(checks, plant);
    return checks.take();
}

void require_valid(const Plant& plant) {
    auto problems = find_problems(plant);
    if (!problems.empty()) throw InputError(std::move(problems));
}

}  // namespace oxfade::plant
