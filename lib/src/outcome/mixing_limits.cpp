#include "oxfade/outcome/mixing_limits.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "oxfade/gas/mixture.hpp"
#include "oxfade/gas/transport.hpp"

namespace oxfade::outcome {
namespace {

constexpr double bores_a_cell = 10.0;

/// Relative density that an excess of oxygen of one adds.
double heavier() {
    const auto& mass = gas::species_molar_mass;
    return (mass[1] - mass[0]) / gas::dry_air().molar_mass();
}

}  // namespace

double rayleigh_number(double length, double bore, double pressure, double temperature) {
    const gas::Mixture air = gas::dry_air();
    const double density = pressure * air.molar_mass() / (gas::gas_constant * temperature);
    const double kinematic = gas::viscosity(air, temperature) / density;
    const double diffusivity = gas::diffusivity_times_pressure(temperature) / pressure;
    return gas::standard_gravity * heavier() / length * std::pow(0.5 * bore, 4) / (kinematic * diffusivity);
}

double excess_in_range(double length, double bore, double pressure, double temperature) {
    // The velocity profile (a^2 - r^2) r has its peak 2/(3 sqrt 3) a^3 off the axis: 2/(3 sqrt 3) Ra/8 D/a.
    const double fastest =
        2.0 / (3.0 * std::numbers::sqrt3) / 8.0 * rayleigh_number(length, bore, pressure, temperature);
    return length / (fastest * 0.5 * bore);
}

std::optional<int> most_cells(const plant::Plant& plant, const plant::Riser& riser, std::size_t pipe) {
    const plant::Pipe& given = riser.pipes[pipe];
    const plant::Cylinder* shape = given.geometry();
    const double excess = plant::product_purity(plant.source) - gas::dry_air().purity();
    if (!plant.mixing.buoyant || !shape || given.exchange || given.position != plant::Position::level ||
        excess <= 0.0)
        return std::nullopt;
    const int most = std::max(1, static_cast<int>(shape->length / (bores_a_cell * shape->bore)));
    if (given.cells <= most) return std::nullopt;
    // An even gradient from air to clean gas: both laws as speeds at which gas is exchanged between two
    // cells.
    const double temperature = plant::temperature_of(riser, plant.site).mean(),
                 cell = shape->length / given.cells;
    const double number =
        excess * rayleigh_number(shape->length, shape->bore, riser.set_pressure, temperature);
    const double law = gas::diffusivity_times_pressure(temperature) / riser.set_pressure *
                       gas::buoyant_coefficient * number * number / cell;
    const double ceiling =
        0.25 * std::sqrt(gas::standard_gravity * heavier() * excess / given.cells * shape->bore);
    return ceiling < law ? std::optional(most) : std::nullopt;
}

}  // namespace oxfade::outcome
