#include "oxfade/flow/pipe_friction.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "oxfade/gas/transport.hpp"

namespace oxfade::flow {
namespace {

constexpr double room = 293.15;

TEST(PipeFriction, FactorSolvesColebrooksEquation) {
    for (const double reynolds : {4e3, 1e5, 1e8}) {
        for (const double roughness : {0.0, 1e-4, 0.05}) {
            const double root = 1.0 / std::sqrt(colebrook_friction_factor(reynolds, roughness));
            EXPECT_NEAR(root, -2.0 * std::log10(roughness / 3.7 + 2.51 / reynolds * root), 1e-12);
        }
    }
}

TEST(PipeFriction, SlopeOfTheFactorIsThatOfADifference) {
    for (const double reynolds : {500.0, 2200.0, 3000.0, 3900.0, 1e4, 1e6}) {
        for (const double roughness : {0.0, 1e-3, 0.03}) {
            const double step = 1e-5 * reynolds;
            const double slope =
                (friction_factor(reynolds + step, roughness) - friction_factor(reynolds - step, roughness)) /
                (2.0 * step);
            const FrictionFactor found = friction_factor_with_slope(reynolds, roughness);
            EXPECT_EQ(found.value, friction_factor(reynolds, roughness));
            EXPECT_NEAR(found.slope, slope, 1e-6 * found.value / reynolds + 1e-6 * std::abs(slope))
                << reynolds;
        }
    }
}

TEST(PipeFriction, FactorIsContinuousThroughTheTransition) {
    for (const double at : {laminar_below, turbulent_above}) {
        const double before = friction_factor(at * (1 - 1e-9), 1e-3),
                     after = friction_factor(at * (1 + 1e-9), 1e-3);
        EXPECT_NEAR(before, after, 1e-9);
    }
}

TEST(PipeFriction, NothingFlowsAgainstThePressure) {
    EXPECT_EQ(isothermal_pipe_flow(10.0, 0.05, 1e5, 1e5, room, 0.028), 0.0);
    EXPECT_EQ(isothermal_pipe_flow({100.0, 0.05}, 1e5, 2e5, room, gas::dry_air()), 0.0);
}

TEST(PipeFriction, AcceleratedFlowChokes) {
    const auto flow = [](double end) {
        return isothermal_pipe_flow(2.0, 0.05, 4e5, end, room, 0.028, Acceleration::counted);
    };
    EXPECT_EQ(flow(0.0), flow(5e4));
    EXPECT_GT(flow(5e4), flow(3e5));
    EXPECT_LT(flow(3e5), isothermal_pipe_flow(2.0, 0.05, 4e5, 3e5, room, 0.028));
}

TEST(PipeFriction, RunFindsTheFactorOfItsOwnFlow) {
    const gas::Mixture air = gas::dry_air();
    for (const double drop : {1e-3, 1.0, 30.0, 60.0, 100.0, 1e3, 1e5}) {  // laminar, transition, turbulent
        const PipeRun pipe{100.0, 0.02};
        const double flow = isothermal_pipe_flow(pipe, 3e5, 3e5 - drop, room, air);
        const double reynolds = reynolds_number(flow, air.molar_mass(), pipe.bore, gas::viscosity(air, room));
        const double resistance =
            friction_factor(reynolds, pipe.roughness / pipe.bore) * pipe.length / pipe.bore;
        EXPECT_NEAR(isothermal_pipe_flow(resistance, pipe.bore, 3e5, 3e5 - drop, room, air.molar_mass()),
                    flow, 1e-9 * flow)
            << "Re " << reynolds;
    }
}

TEST(PipeFriction, LaminarFlowIsThatOfPoiseuille) {
    const gas::Mixture air = gas::dry_air();
    const double up = 3e5, drop = 1e-2, bore = 0.02, length = 100.0;
    const double volume_flow =
        std::numbers::pi * std::pow(bore, 4) * drop / (128.0 * gas::viscosity(air, room) * length);
    const double expected = gas::moles(up - drop / 2, volume_flow, room);
    EXPECT_NEAR(isothermal_pipe_flow({length, bore}, up, up - drop, room, air), expected, 1e-6 * expected);
}

}  // namespace
}  // namespace oxfade::flow
