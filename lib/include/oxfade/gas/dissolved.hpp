#pragma once

#include "oxfade/gas/mixture.hpp"

/// Gas dissolved in fresh water (model.md section 9).
namespace oxfade::gas {

/// Henry constant `H = c/p` of a species in fresh water [mol/(m3 Pa)] at a temperature [K].
///
/// Oxygen: Benson, Krause and Peterson, J. Solution Chem. 8 (1979) 655,
/// `ln(k/atm) = 3.71814 + 5596.17/T - 1049668/T^2` per mole fraction, less the real-gas term of Benson and
/// Krause (1984) at one atmosphere (0.07 %), which puts it on the saturation tables in use. 273.15 K to
/// 323.15 K. Nitrogen: Battino, IUPAC Solubility Data Series 10 (1982), mole fraction at one atmosphere `ln x
/// = -67.38765 + 8632.129/T + 24.79808 ln(T/100)`. 273.15 K to 348.15 K; evaluated data of other authors
/// differ from it by 1 % to 2 %. Mole fraction becomes concentration with the density of water. Valid as a
/// constant up to about 10 bar (0.2 % per bar). Argon: not known here. Throws std::domain_error outside the
/// ranges and for argon.
double henry_constant(Species species, double temperature);

/// Concentration [mol/m3] of a species in fresh water in balance with gas that is saturated with vapour:
/// `c = H x (p - p_saturation)`. @param fraction of the species in the dry gas @param pressure of the gas
/// [Pa]
/// @param temperature [K] Throws as `henry_constant`; zero when the pressure is below that of the vapour.
double dissolved_concentration(Species species, double fraction, double pressure, double temperature);

/// Dissolved oxygen [kg/m3 = g/L] of fresh water in balance with moist air at a pressure [Pa] and temperature
/// [K].
double oxygen_saturation(double pressure, double temperature);

}  // namespace oxfade::gas
