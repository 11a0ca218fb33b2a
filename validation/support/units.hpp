#pragma once

/// Units in which published numbers are printed, in SI.
namespace oxfade::validation {

inline constexpr double inch = 0.0254, foot = 0.3048, mil = 2.54e-5;  // [m]
inline constexpr double pound = 0.45359237;                           // [kg]
inline constexpr double psi = 6894.757293168, atmosphere = 101325.0;  // [Pa]
inline constexpr double us_gallon = 231.0 * inch * inch * inch;       // [m3]
inline constexpr double rankine = 5.0 / 9.0;                          // [K]
inline constexpr double pound_force = pound * 9.80665;                // [N]
inline constexpr double day = 86400.0;                                // [s]

}  // namespace oxfade::validation
