#pragma once

/// One tank of air and a hole, run with the whole engine.
namespace oxfade::validation {

struct Tank {
    double volume = 0.0;          ///< [m3]
    double pressure = 0.0;        ///< at the start [Pa abs]
    double outside = 0.0;         ///< [Pa abs]
    double temperature = 0.0;     ///< [K]
    double effective_area = 0.0;  ///< of the hole [m2]
};

/// Time [s] until the tank has come down to a pressure [Pa abs], above the one outside.
double letting_down_time(const Tank& tank, double end);

/// Effective area [m2] of a hole that passes a volume flow [m3/s] of air at any pressure well above the one
/// outside, as an ideal pump does.
double pump_area(double volume_flow, double temperature);

/// Pressure [Pa abs] that the tank comes to with a steady inflow of air [kg/s].
double steady_pressure(const Tank& tank, double inflow);

}  // namespace oxfade::validation
