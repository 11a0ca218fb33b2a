#include "oxfade/gas/dissolved.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "oxfade/gas/water.hpp"

namespace oxfade::gas {
namespace {

constexpr double rounding = 1e-6;  // [K], so that 0 degC converted from another unit is inside

/// Mole fraction of oxygen in water under one atmosphere of oxygen.
double oxygen_mole_fraction(double temperature) {
    if (!(temperature >= 273.15 - rounding && temperature <= 323.15 + rounding)) {
        throw std::domain_error(
            "Henry constant of oxygen: temperature must lie between 273.15 K and 323.15 K");
    }
    const double celsius = temperature - 273.15;
    const double real_gas = 0.000975 - 1.426e-5 * celsius + 6.436e-8 * celsius * celsius;
    const double inverse = 1.0 / temperature;
    return (1.0 - real_gas) * std::exp(-(3.71814 + inverse * (5596.17 - 1049668.0 * inverse)));
}

/// Mole fraction of nitrogen in water under one atmosphere of nitrogen.
double nitrogen_mole_fraction(double temperature) {
    if (!(temperature >= 273.15 - rounding && temperature <= 348.15 + rounding)) {
        throw std::domain_error(
            "Henry constant of nitrogen: temperature must lie between 273.15 K and 348.15 K");
    }
    const double hundreds = temperature / 100.0;
    return std::exp(-67.38765 + 86.32129 / hundreds + 24.79808 * std::log(hundreds));
}

}  // namespace

double henry_constant(Species species, double temperature) {
    if (species == Species::argon) throw std::domain_error("Henry constant of argon is not known here");
    const double mole_fraction =
        species == Species::oxygen ? oxygen_mole_fraction(temperature) : nitrogen_mole_fraction(temperature);
    return mole_fraction * water_density(temperature) / (water_molar_mass * standard_pressure);
}

double dissolved_concentration(Species species, double fraction, double pressure, double temperature) {
    const double dry = std::max(0.0, pressure - saturation_pressure_over_water(temperature));
    return henry_constant(species, temperature) * fraction * dry;
}

double oxygen_saturation(double pressure, double temperature) {
    const double molar =
        dissolved_concentration(Species::oxygen, dry_air()[Species::oxygen], pressure, temperature);
    return molar * species_molar_mass[static_cast<std::size_t>(Species::oxygen)];
}

}  // namespace oxfade::gas
