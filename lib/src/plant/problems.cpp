#include <utility>

#include "plant/checks.hpp"
#include "text/key_path.hpp"

namespace oxfade::plant {
namespace detail {
namespace {

/// The pressures between which a machine with a receiver starts and stops.
/// True when `start` is sound.
bool check_receiver(Checks& checks, const Receiver& receiver) {
    const std::string path = "source.receiver.";
    checks.positive(path + "volume", receiver.volume, volume);
    checks.not_negative(path + "initial_pressure", receiver.initial_pressure, pressure);
    const bool start = checks.positive(path + "start", receiver.start, pressure);
    const bool stop = checks.positive(path + "stop", receiver.stop, pressure);
    if (start && stop) {
        checks.require(receiver.start < receiver.stop, path + "start", receiver.start, pressure,
                       "must be below `stop`", "the machine starts at `start` and runs until `stop`");
    }
    return start;
}

void check_power(Checks& checks, const std::optional<double>& given) {
    if (given) checks.positive("source.power", *given, power);
}

struct SourceChecks {
    Checks& checks;

    void operator()(const Generator& generator) const {
        checks.within("source.purity", generator.purity, 0.0, 1.0, "");
        checks.positive("source.nitrogen_flow", generator.nitrogen_flow, volume_flow);
        checks.positive("source.air_flow", generator.air_flow, volume_flow);
        check_power(checks, generator.power);
        const bool start = check_receiver(checks, generator.receiver);
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
        check_receiver(checks, compressor.receiver);
    }
};

}  // namespace

void check_site(Checks& checks, const Site& site) {
    checks.positive("site.pressure", site.pressure, pressure);
    check_temperature(checks, site.temperature, "site.temperature");
    checks.positive("site.reference.pressure", site.reference.pressure, pressure);
    checks.positive("site.reference.temperature", site.reference.temperature, temperature);
}

void check_source(Checks& checks, const Source& source) { std::visit(SourceChecks{checks}, source); }

}  // namespace detail

std::vector<Problem> find_problems(const Plant& plant) {
    detail::Checks checks;
    checks.positive("duration", plant.duration, detail::time);
    checks.strictly_within("target", plant.target, 0.0, 1.0);
    detail::check_site(checks, plant.site);
    detail::check_source(checks, plant.source);
    if (plant.risers.empty())
        checks.add("riser", "", "there is no riser", "at least one [[riser]] is wanted");
    const auto names = detail::names_of(plant.risers);
    checks.names("riser", names, "riser");
    const auto segments = text::entry_segments(names);
    for (std::size_t i = 0; i < plant.risers.size(); ++i) {
        detail::check_riser(checks, plant.risers[i], plant.site, text::join_path("riser", segments[i]));
    }
    detail::check_actions(checks, plant);
    if (checks.none()) detail::check_changes(checks, plant);
    return checks.take();
}

void require_valid(const Plant& plant) {
    auto problems = find_problems(plant);
    if (!problems.empty()) throw InputError(std::move(problems));
}

}  // namespace oxfade::plant
