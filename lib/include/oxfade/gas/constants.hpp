#pragma once

/// Constants of model.md section 2, SI units.
namespace oxfade::gas {

inline constexpr double gas_constant = 8.314462618;     ///< [J/(mol K)], CODATA 2018
inline constexpr double standard_gravity = 9.80665;     ///< [m/s2], CGPM 1901
inline constexpr double heat_capacity_ratio = 1.4;      ///< diatomic gas, in flow laws
inline constexpr double standard_pressure = 101325.0;   ///< [Pa]
inline constexpr double standard_temperature = 293.15;  ///< [K], 20 degC: this project's default reference

}  // namespace oxfade::gas
