#include "tank.hpp"

#include <cmath>
#include <cstddef>
#include <numbers>
#include <stdexcept>

#include "oxfade/engine/predict.hpp"
#include "oxfade/flow/leak.hpp"
#include "oxfade/flow/orifice.hpp"
#include "oxfade/gas/mixture.hpp"

namespace oxfade::validation {
namespace {

/// A passage of an effective area [m2].
plant::Orifice passage(double area) { return {std::sqrt(4.0 * area / std::numbers::pi), 1.0}; }

/// Full at once, with the hole as its vent; the supply is for the caller to set.
plant::Plant plant_of(const Tank& tank) {
    plant::Plant plant;
    plant.title = "tank";
    plant.site.pressure = tank.outside;
    plant.site.temperature = tank.temperature;
    plant::Pipe pipe;
    pipe.name = "tank";
    pipe.shape = plant::VolumeOnly{tank.volume};
    plant::Riser riser;
    riser.name = "R";
    riser.set_pressure = tank.pressure;
    riser.initial_pressure = tank.pressure;
    riser.fill = {0.01, 1.0};
    riser.pipes.push_back(std::move(pipe));
    riser.vents.push_back({"hole", "tank", passage(tank.effective_area), plant::OpenAlways{}, false});
    plant.risers.push_back(std::move(riser));
    return plant;
}

engine::Options tight(std::size_t points) {
    engine::Options options;
    options.relative_tolerance = 1e-9;
    options.history_points = points;
    return options;
}

}  // namespace

double letting_down_time(const Tank& tank, double end) {
    plant::Plant plant = plant_of(tank);
    plant.source = plant::Cylinders{1.0, 1e6, 2.0 * tank.pressure};
    // A supply that does not come on before the end.
    plant.risers.front().supply =
        plant::PressureSwitch{{0.01, 1.0}, 0.5 * (end + tank.outside), tank.pressure};
    plant.duration = 1.1 * flow::blow_down_time(tank.effective_area, tank.volume, tank.pressure, end,
                                                tank.outside, tank.temperature);
    const outcome::History history = engine::predict(plant, tight(4001)).history;
    for (std::size_t k = 1; k < history.times.size(); ++k) {
        const double before = history.pressure.at(k - 1, 0), now = history.pressure.at(k, 0);
        if (now > end) continue;
        const double part = std::log(before / end) / std::log(before / now);
        return history.times[k - 1] + part * (history.times[k] - history.times[k - 1]);
    }
    throw std::runtime_error("the tank does not come down to that pressure");
}

double pump_area(double volume_flow, double temperature) {
    const double mass = gas::dry_air().molar_mass();
    return volume_flow / (flow::choked_nozzle_function * std::sqrt(gas::gas_constant * temperature / mass));
}

double steady_pressure(const Tank& tank, double inflow) {
    // Nitrogen and oxygen as in air, as many moles; far more pressure than the tank's, so that the inflow is
    // steady. Without argon they are lighter, and the hole is made to pass the same volume of them.
    const double purity = 1.0 - gas::dry_air()[gas::Species::oxygen], delivery = 1e6;
    const double air_mass = gas::dry_air().molar_mass();
    const double mass = gas::nitrogen_of_purity(purity).molar_mass();
    Tank other = tank;
    other.effective_area *= std::sqrt(mass / air_mass);
    plant::Plant plant = plant_of(other);
    plant.source = plant::Cylinders{purity, 1e6, delivery};
    const double per_area = flow::orifice_flow(1.0, delivery, 0.0, tank.temperature, mass);
    plant.risers.front().supply = plant::Regulator{passage(inflow / air_mass / per_area)};
    const double halved = flow::blow_down_time(tank.effective_area, tank.volume, tank.pressure,
                                               0.5 * tank.pressure, tank.outside, tank.temperature);
    plant.duration = 40.0 * halved;
    return engine::predict(plant, tight(0)).risers.front().final_pressure;
}

}  // namespace oxfade::validation
