#pragma once

/// Water as vapour and liquid: saturation, dew point, density.
namespace oxfade::gas {

inline constexpr double water_molar_mass = 18.01528e-3;     ///< [kg/mol], conventional value
inline constexpr double water_triple_temperature = 273.16;  ///< [K], ITS-90
inline constexpr double water_triple_pressure = 611.657;    ///< [Pa], IAPWS R14-08

/// Pressure [Pa] of water vapour in balance with liquid water at a temperature [K].
///
/// IAPWS-IF97, eq. 30 [iapws_if97]: with `t = T - 0.238556/(T - 650.175)` the root of a quadratic whose three
/// coefficients are quadratics of `t`, to the fourth power. Range 273.15 K to 647.096 K; throws
/// std::domain_error outside.
double saturation_pressure_over_water(double temperature);

/// Pressure [Pa] of water vapour in balance with ice at a temperature [K].
///
/// IAPWS R14-08, eq. 6 [iapws_r14_08]: `ln(p/p_t) = (sum of a_i theta^b_i) / theta`, `theta = T/273.16 K`.
/// Range 50 K to 273.16 K; throws std::domain_error outside.
double saturation_pressure_over_ice(double temperature);

/// Over ice below the triple point, over water from there on [Pa]. Range 50 K to 647.096 K.
double saturation_pressure(double temperature);

/// Temperature [K] at which a vapour pressure [Pa] is the saturation pressure over liquid water: the inverse
/// of IF97 eq. 30 in closed form (eq. 31). Range 611.213 Pa to 22.064 MPa; throws std::domain_error outside.
double dew_point(double vapour_pressure);

/// Temperature [K] at which a vapour pressure [Pa] is the saturation pressure over ice; Newton's method on
/// the logarithm. Range 1e-9 Pa to 611.657 Pa; throws std::domain_error outside.
double frost_point(double vapour_pressure);

/// Density of liquid water at one atmosphere [kg/m3] and a temperature [K].
///
/// G. S. Kell, J. Chem. Eng. Data 20 (1975) 97 [kell_1975]. Range 273.15 K to 373.15 K (5e-6 of IAPWS-95 up
/// to 60 degC); throws std::domain_error outside.
double water_density(double temperature);

}  // namespace oxfade::gas
