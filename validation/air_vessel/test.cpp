#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include "check.hpp"
#include "oxfade/flow/orifice.hpp"

using namespace oxfade;
using namespace oxfade::validation;

namespace {

constexpr double gas_constant = 8.314462618, air = 0.0289652, volume = 0.01618, room = 1.006e5;

struct Measured {
    double start_time, start_pressure;                   ///< [s], [Pa]
    double effective_area;                               ///< [m2], one number fitted to the run
    std::vector<std::pair<double, double>> temperature;  ///< measured in the gas [s], [K]

    double temperature_at(double t) const {
        const auto next =
            std::find_if(temperature.begin(), temperature.end(), [&](auto at) { return at.first > t; });
        if (next == temperature.begin()) return next->second;
        if (next == temperature.end()) return temperature.back().second;
        const auto last = std::prev(next);
        return last->second + (next->second - last->second) * (t - last->first) / (next->first - last->first);
    }

    /// [bar], by the flow of the orifice and the gas temperature that was measured.
    double pressure_at(double end) const {
        const double room_temperature = temperature.front().second;
        double t = start_time, moles = start_pressure * volume / (gas_constant * temperature_at(t));
        const auto pressure = [&](double n, double at) {
            return n * gas_constant * temperature_at(at) / volume;
        };
        const auto inflow = [&](double n, double at) {
            const double p = pressure(n, at);
            return flow::orifice_flow(effective_area, room, p, room_temperature, air) -
                   flow::orifice_flow(effective_area, p, room, temperature_at(at), air);
        };
        constexpr int steps = 20000;
        const double step = (end - start_time) / steps;
        for (int i = 0; i < steps; ++i, t += step) {
            const double half = moles + 0.5 * step * inflow(moles, t);
            moles += step * inflow(half, t + 0.5 * step);
        }
        return pressure(moles, end) / 1e5;
    }
};

TEST(air_vessel, pressures) {
    const Measured discharge{0.226,
                             7.6883e5,
                             5.0e-6,
                             {{0, 298},
                              {3.58, 285.9},
                              {7.65, 275.3},
                              {11.4, 265.8},
                              {15.2, 261.1},
                              {19.2, 257.8},
                              {23.2, 256.4},
                              {26.8, 256.7},
                              {30.8, 257.8},
                              {34.7, 260.4},
                              {38.6, 264.2},
                              {42.5, 268.6},
                              {46.2, 272.6},
                              {50.1, 276},
                              {54, 278.9}}};
    const Measured filling{0.3882,
                           0.019082e5,
                           5.6e-6,
                           {{0, 295},
                            {0.0383, 295.8},
                            {0.308, 306.6},
                            {0.473, 301.5},
                            {1.12, 309.9},
                            {2.73, 312.1},
                            {6.91, 314.1},
                            {12.5, 313.7},
                            {17, 312.3},
                            {21.8, 311.4},
                            {27.3, 310},
                            {29.1, 308.2},
                            {31.6, 304.8},
                            {35.4, 306},
                            {46.3, 303.3},
                            {55.2, 301.5},
                            {64.2, 300.2},
                            {77.8, 298.8}}};
    check_rows("air_vessel", {{"flow::orifice_flow integrated (discharge)",
                               [&](const Row& row) { return discharge.pressure_at(row.number("time_s")); }},
                              {"flow::orifice_flow integrated (filling)",
                               [&](const Row& row) { return filling.pressure_at(row.number("time_s")); }}});
}

}  // namespace
