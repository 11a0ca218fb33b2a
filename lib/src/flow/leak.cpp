#include "oxfade/flow/leak.hpp"

#include <algorithm>
#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <cmath>

#include "oxfade/flow/orifice.hpp"
#include "oxfade/gas/mixture.hpp"

namespace oxfade::flow {
namespace {

/// Effective area times time [m2 s] that a fall in pressure takes: integral of V/(RT) dp / flow per area.
double area_time(double volume, double from, double to, double outside, double temperature) {
    const double root_mass = std::sqrt(gas::dry_air().molar_mass());
    const double storage = volume / (gas::gas_constant * temperature);  // [mol/Pa]
    const double choked_above = outside / critical_ratio;
    double total = 0.0;
    if (from > choked_above) {
        const double end = std::max(to, choked_above);
        const double per_pressure = choked_nozzle_function / std::sqrt(gas::gas_constant * temperature);
        total += storage * root_mass * std::log(from / end) / per_pressure;
    }
    const double begin = std::min(from, choked_above);
    if (begin > to) {
        // With q^2 = p/outside - 1 the integrand stays smooth down to the outside pressure.
        const auto integrand = [&](double q) {
            const double pressure = outside * (1.0 + q * q);
            const double flow = draught(pressure, outside, temperature).value;
            return flow > 0.0 ? storage * root_mass * outside * 2.0 * q / flow : 0.0;
        };
        using Rule = boost::math::quadrature::gauss_kronrod<double, 31>;
        total += Rule::integrate(integrand, std::sqrt(to / outside - 1.0), std::sqrt(begin / outside - 1.0),
                                 10, 1e-10);
    }
    return total;
}

}  // namespace

double leak_area_from_test(double volume, double from, double to, double time, double outside,
                           double temperature) {
    return area_time(volume, from, to, outside, temperature) / time;
}

double leak_area_from_flow(double molar_flow, double pressure, double outside, double temperature) {
    const double root_mass = std::sqrt(gas::dry_air().molar_mass());
    return molar_flow * root_mass / draught(pressure, outside, temperature).value;
}

double blow_down_time(double effective_area, double volume, double from, double to, double outside,
                      double temperature) {
    return area_time(volume, from, to, outside, temperature) / effective_area;
}

}  // namespace oxfade::flow
