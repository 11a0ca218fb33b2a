#pragma once

namespace oxfade::flow {

/// Effective area [m2] of the hole through which an isothermal volume of air falls from one pressure to
/// another in a given time (model.md 5.2 b): closed form while choked, quadrature of the inverse flow below
/// that.
/// @param volume [m3]  @param from, to absolute pressures [Pa], from > to > outside  @param time [s]
/// @param outside absolute pressure [Pa]  @param temperature [K]
double leak_area_from_test(double volume, double from, double to, double time, double outside,
                           double temperature);

/// Effective area [m2] of the hole that passes a molar flow [mol/s] of air from a pressure to the outside.
double leak_area_from_flow(double molar_flow, double pressure, double outside, double temperature);

/// Time [s] in which an isothermal volume of air falls from one pressure to another through an effective
/// area.
double blow_down_time(double effective_area, double volume, double from, double to, double outside,
                      double temperature);

}  // namespace oxfade::flow
