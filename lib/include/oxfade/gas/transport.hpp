#pragma once

#include "oxfade/gas/mixture.hpp"

namespace oxfade::gas {

/// Dynamic viscosity [Pa s] of a gas species at low pressure and a temperature [K]: dilute-gas term of
/// Lemmon and Jacobsen (2004), eq. 2 and Table I. Below 10 bar the density term is under 0.3 %.
double viscosity(Species species, double temperature);

/// Dynamic viscosity [Pa s] of a mixture at low pressure: Wilke's rule (1950).
double viscosity(const Mixture& mixture, double temperature);

/// Pressure times diffusivity of the pair N2-O2 [Pa m2/s] at a temperature [K] (model.md eq. 9; Marrero and
/// Mason 1972, Table 13, stated for 285 K and above; 3 % at room temperature).
double diffusivity_times_pressure(double temperature);

/// Coefficient of Ra^2 in the effective diffusivity of buoyant counter-flow in a level round pipe (model.md
/// eq. 10): laminar, with the gas spread across the pipe faster than it runs along it.
inline constexpr double buoyant_coefficient = 7.0 / 46080.0;

}  // namespace oxfade::gas
