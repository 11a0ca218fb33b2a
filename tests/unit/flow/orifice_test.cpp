#include "oxfade/flow/orifice.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace oxfade::flow {
namespace {

constexpr double room = 293.15, mass = 0.028;

TEST(Orifice, NothingFlowsAgainstThePressure) {
    EXPECT_EQ(orifice_flow(1e-6, 1e5, 1e5, room, mass), 0.0);
    EXPECT_EQ(orifice_flow(1e-6, 1e5, 2e5, room, mass), 0.0);
    EXPECT_GT(orifice_flow(1e-6, 1e5, 0.0, room, mass), 0.0);
}

TEST(Orifice, ChokedFlowDoesNotSeeThePressureBehind) {
    EXPECT_EQ(orifice_flow(1e-6, 4e5, 2.1e5, room, mass), orifice_flow(1e-6, 4e5, 1e3, room, mass));
    EXPECT_GT(orifice_flow(1e-6, 4e5, 2.1e5, room, mass), orifice_flow(1e-6, 4e5, 2.2e5, room, mass));
}

TEST(Orifice, NozzleFunctionIsContinuousWithItsSlope) {
    for (const double at : {critical_ratio, 1.0 - rounding_width}) {
        const NozzleFunction before = nozzle_function(at - 1e-10), after = nozzle_function(at + 1e-10);
        EXPECT_NEAR(before.value, after.value, 1e-7);
        EXPECT_NEAR(before.slope, after.slope, 1e-3 * (1.0 + std::abs(before.slope)));
    }
    EXPECT_EQ(nozzle_function(1.0).value, 0.0);
}

TEST(Orifice, SlopesOfTheDraughtAreItsDerivatives) {
    for (const double ratio : {0.3, 0.6, 0.9, 0.999, 0.99995}) {
        const double up = 3e5, down = ratio * up, step = 1e-6 * up * (1.0 - ratio);
        const Draught here = draught(up, down, room);
        const double by_up =
            (draught(up + step, down, room).value - draught(up - step, down, room).value) / (2 * step);
        const double by_down =
            (draught(up, down + step, room).value - draught(up, down - step, room).value) / (2 * step);
        EXPECT_NEAR(here.slope_upstream, by_up, 1e-4 * std::abs(by_up)) << ratio;
        EXPECT_NEAR(here.slope_downstream, by_down, 1e-4 * std::abs(by_down) + 1e-12) << ratio;
    }
}

}  // namespace
}  // namespace oxfade::flow
