#include "oxfade/flow/orifice.hpp"

#include <cmath>

#include "oxfade/gas/constants.hpp"

namespace oxfade::flow {
namespace {

/// r^(2/7) for r in [0.5, 1]: a polynomial good to 1.4e-6, and one of Halley's iterations for s^7 = r^2,
/// which triples the digits: a fraction of the time of a general power.
double two_sevenths(double r) {
    const double square = r * r;
    const double guess =
        0.4390740753 + r * (1.2382933193 + r * (-1.4375983755 +
                                                r * (1.2498563716 + r * (-0.6213100161 + r * 0.1316856664))));
    const double cube = guess * guess * guess, seventh = cube * cube * guess;
    return guess * (6.0 * seventh + 8.0 * square) / (8.0 * seventh + 6.0 * square);
}

/// The exact nozzle function between the critical ratio and 1. With g = 1.4 it needs one power only:
/// psi^2 = 7 (s^5 - s^6), s = r^(2/7).
NozzleFunction subcritical(double r) {
    const double s = two_sevenths(r);
    const double s4 = s * s * s * s;
    const double psi = std::sqrt(7.0 * s4 * s * (1.0 - s));
    const double squared_slope = 7.0 * s4 * (5.0 - 6.0 * s) * (2.0 / 7.0) * s / r;
    return {psi, squared_slope / (2.0 * psi)};
}

}  // namespace

NozzleFunction nozzle_function(double pressure_ratio) {
    if (pressure_ratio <= critical_ratio) return {choked_nozzle_function, 0.0};
    if (pressure_ratio >= 1.0) return {0.0, 0.0};
    constexpr double edge = 1.0 - rounding_width;
    if (pressure_ratio <= edge) return subcritical(pressure_ratio);
    // A parabola in u = (1 - r)/width that meets psi and its slope at the edge: near r = 1 psi is as sqrt(u).
    static const NozzleFunction at_edge = subcritical(edge);
    const double u = (1.0 - pressure_ratio) / rounding_width;
    const double end_slope = -at_edge.slope * rounding_width / at_edge.value;  // of psi/psi(edge) against u
    const double a = 2.0 - end_slope, b = end_slope - 1.0;
    return {at_edge.value * u * (a + b * u), -at_edge.value * (a + 2.0 * b * u) / rounding_width};
}

Draught draught(double upstream, double downstream, double temperature) {
    if (!(upstream > downstream)) return {};
    const double per_pressure = 1.0 / std::sqrt(gas::gas_constant * temperature);
    const double ratio = downstream > 0.0 ? downstream / upstream : 0.0;
    const NozzleFunction psi = nozzle_function(ratio);
    return {upstream * psi.value * per_pressure, (psi.value - ratio * psi.slope) * per_pressure,
            psi.slope * per_pressure};
}

double orifice_flow(double effective_area, double upstream, double downstream, double temperature,
                    double molar_mass) {
    return effective_area * draught(upstream, downstream, temperature).value / std::sqrt(molar_mass);
}

}  // namespace oxfade::flow
