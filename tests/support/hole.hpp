#pragma once

#include <cmath>
#include <numbers>

#include "oxfade/gas/constants.hpp"
#include "oxfade/gas/mixture.hpp"
#include "oxfade/plant/plant.hpp"

/// Flow through a hole as the textbooks write it, apart from the library, for tests to check against.
namespace oxfade::sample {

inline double effective_area(double diameter, double coefficient = 0.8) {
    return coefficient * std::numbers::pi / 4.0 * diameter * diameter;
}

/// Molar flow [mol/s] at any pressure ratio (model.md eq. 12), by general powers of the heat-capacity ratio.
inline double hole_flow(double area, double upstream, double downstream, double temperature, double mass) {
    constexpr double k = gas::heat_capacity_ratio;
    const double critical = std::pow(2.0 / (k + 1.0), k / (k - 1.0));
    const double r = std::max(downstream / upstream, critical);
    const double psi2 = 2.0 * k / (k - 1.0) * (std::pow(r, 2.0 / k) - std::pow(r, (k + 1.0) / k));
    return area * upstream * std::sqrt(psi2 / (mass * gas::gas_constant * temperature));
}

/// The same well above the outside: flow in proportion to the pressure.
inline double choked_flow(double area, double upstream, double mass, double temperature = 293.15) {
    return hole_flow(area, upstream, 0.0, temperature, mass);
}

inline double air_mass() { return gas::dry_air().molar_mass(); }
inline double product_mass(double purity) { return gas::nitrogen_of_purity(purity).molar_mass(); }

inline double moles_of(double pressure, double volume, double temperature = 293.15) {
    return pressure * volume / (gas::gas_constant * temperature);
}

/// Volume flow [m3/s] at the reference conditions.
inline double standard_flow(double moles_per_second) {
    return plant::standard_volume(plant::Reference{}, moles_per_second);
}

}  // namespace oxfade::sample
