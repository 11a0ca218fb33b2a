#include "purge.hpp"

#include <cmath>
#include <numeric>
#include <stdexcept>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "oxfade/engine/predict.hpp"
#include "oxfade/flow/leak.hpp"
#include "oxfade/gas/mixture.hpp"
#include "oxfade/gas/transport.hpp"

namespace oxfade::validation {
namespace {

constexpr double room = 293.15;  // [K]

plant::Pipe pipe(std::string name, std::variant<plant::VolumeOnly, plant::Cylinder> shape, int cells = 1) {
    plant::Pipe made;
    made.name = std::move(name);
    made.shape = shape;
    made.cells = cells;
    return made;
}

/// One riser of the given pipes on cylinders that never run empty, full at once, with one vent.
plant::Plant vessel(double pressure, double temperature, double purity, std::vector<plant::Pipe> pipes,
                    double vent_diameter) {
    plant::Plant plant;
    plant.title = "one vessel";
    plant.site.temperature = temperature;
    plant.source = plant::Cylinders{purity, 1e9, 20.0 * pressure};
    plant::Riser riser;
    riser.name = "R";
    riser.set_pressure = pressure;
    riser.initial_pressure = pressure;
    riser.fill = {0.05, 1.0};
    riser.supply = plant::Regulator{{0.05, 1.0}};
    riser.vents.push_back({"vent", pipes.front().name, {vent_diameter, 1.0}, plant::OpenAlways{}, false});
    riser.pipes = std::move(pipes);
    plant.risers.push_back(std::move(riser));
    return plant;
}

outcome::Outcome run(const plant::Plant& plant) {
    engine::Options options;
    options.relative_tolerance = 1e-8;
    options.history_points = 0;
    return engine::predict(plant, options);
}

double required_time(const outcome::Outcome& outcome) {
    const auto& time = outcome.risers.front().time_to_target;
    if (!time) throw std::runtime_error("the target was not reached");
    return *time;
}

/// Moles in a cubic metre.
double density(double pressure, double temperature) { return gas::moles(pressure, 1.0, temperature); }

constexpr double cycled_volume = 1.0;  // [m3]
constexpr double slow_vent = 2e-3;     // [m]: letting down takes far longer than filling

/// The vessel that is cycled; outside is near vacuum, so that letting down ends at any pressure.
plant::Plant cycled(double low, double high, bool filled_first, double temperature) {
    plant::Plant plant =
        vessel(high, temperature, 1.0, {pipe("vessel", plant::VolumeOnly{cycled_volume})}, slow_vent);
    plant.site.pressure = 0.1 * low;
    plant::Riser& riser = plant.risers.front();
    riser.initial_pressure = filled_first ? low : high;
    riser.supply = plant::PressureSwitch{{0.05, 1.0}, low, high};
    riser.vents.front().policy = plant::OpenBetween{high, low};
    return plant;
}

/// Time of one letting down [s], of air; nitrogen takes 2 % less.
double letting_down(double low, double high, double temperature) {
    const double area = plant::Orifice{slow_vent, 1.0}.effective_area();
    return flow::blow_down_time(area, cycled_volume, high, low, 0.1 * low, temperature);
}

}  // namespace

double exchanges_until(double purity, double oxygen, int cells) {
    constexpr double volume = 0.1, pressure = 3e5;
    plant::Plant plant =
        vessel(pressure, room, purity, {pipe("vessel", plant::VolumeOnly{volume}, cells)}, 5e-3);
    plant.target = 1.0 - oxygen;
    plant.duration = 2000.0;
    plant.duration = required_time(run(plant)) * (1.0 + 1e-12);
    return run(plant).risers.front().vented / (volume * density(pressure, room));
}

double oxygen_after_cycles(double low, double high, int count, bool filled_first, double temperature) {
    plant::Plant plant = cycled(low, high, filled_first, temperature);
    // In the midst of the letting down that follows the last filling.
    plant.duration = letting_down(low, high, temperature) * (count - (filled_first ? 0.5 : -0.5));
    return run(plant).risers.front().pipes.front().oxygen.front();
}

Cycles cycles_until(double low, double high, double oxygen, bool filled_first, double temperature) {
    plant::Plant plant = cycled(low, high, filled_first, temperature);
    const double once = letting_down(low, high, temperature);
    plant.target = 1.0 - oxygen;
    plant.duration = 20.0 * once;
    const double reached = required_time(run(plant));
    // The filling in which the target was reached ends long before half of the next letting down has passed.
    plant.duration = reached + 0.3 * once;
    const double supplied = run(plant).risers.front().supplied / cycled_volume;
    return {std::round(supplied / (density(high, temperature) - density(low, temperature))), supplied};
}

double share_lost_by_diffusion(double fourier) {
    constexpr double pressure = 3e5, length = 1.0;
    constexpr int cells = 60;
    plant::Plant plant = vessel(
        pressure, room, 1.0,
        {pipe("mouth", plant::Cylinder{0.3, 0.05}), pipe("branch", plant::Cylinder{0.05, length}, cells)},
        5e-3);
    plant.mixing.buoyant = false;
    plant.duration = fourier * length * length * pressure / gas::diffusivity_times_pressure(room);
    const std::vector<double> oxygen = run(plant).risers.front().pipes.back().oxygen;
    const double mean = std::accumulate(oxygen.begin(), oxygen.end(), 0.0) / cells;
    return 1.0 - mean / gas::dry_air()[gas::Species::oxygen];
}

}  // namespace oxfade::validation
