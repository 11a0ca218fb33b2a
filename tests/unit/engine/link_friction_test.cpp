#include "engine/link_friction.hpp"

#include <cmath>

#include "oxfade/flow/pipe_friction.hpp"
#include "oxfade/gas/transport.hpp"
#include "support/plants.hpp"

namespace {

using namespace oxfade;
using engine::friction_flow;

constexpr double room = 293.15, pressure = 3e5;

engine::LinkGas nitrogen() {
    const gas::Mixture gas = gas::nitrogen_of_purity(1.0);
    return {room, gas.molar_mass(), gas::viscosity(gas, room)};
}

/// Between the centres of two cells of 20 m.
engine::LinkFriction link(double bore) {
    engine::LinkFriction link;
    link.halves = {engine::LinkFriction::Half{10.0, bore}, {10.0, bore}};
    return link;
}

double squares(double drop) { return drop * (2.0 * pressure - drop); }

TEST(LinkFriction, IsThatOfTheWholePipeInEveryRegime) {
    for (const double drop : {0.01, 1.0, 10.0, 100.0, 300.0, 1e3, 1e4, 1e5}) {
        const double flow = friction_flow(link(0.02), squares(drop), nitrogen(), 0.0, 0.0).flow;
        const double whole = flow::isothermal_pipe_flow({20.0, 0.02}, pressure, pressure - drop, room,
                                                        gas::nitrogen_of_purity(1.0));
        EXPECT_NEAR(flow / whole, 1.0, 1e-5) << drop;
    }
}

TEST(LinkFriction, IsOddInThePressures) {
    for (const double drop : {0.1, 50.0, 5e3}) {
        const auto there = friction_flow(link(0.02), squares(drop), nitrogen(), 0.0, 0.0);
        const auto back = friction_flow(link(0.02), -squares(drop), nitrogen(), 0.0, 0.0);
        EXPECT_DOUBLE_EQ(there.flow, -back.flow);
        EXPECT_DOUBLE_EQ(there.slope, back.slope);
    }
    EXPECT_EQ(friction_flow(link(0.02), 0.0, nitrogen(), 0.0, 0.0).flow, 0.0);
}

TEST(LinkFriction, SlopeIsTheTangentWhereTheFlowIsUndisturbed) {
    for (const double drop : {0.1, 20.0, 100.0, 300.0, 5e3}) {
        const double at = squares(drop), step = 1e-6 * at;
        const auto flow = [&](double difference) {
            return friction_flow(link(0.02), difference, nitrogen(), 0.0, 0.0).flow;
        };
        const double towards = flow(at), tangent = (flow(at + step) - flow(at - step)) / (2.0 * step);
        EXPECT_NEAR(friction_flow(link(0.02), at, nitrogen(), 0.0, towards).slope / tangent, 1.0, 1e-6)
            << drop;
    }
}

TEST(LinkFriction, SlopeIsTheChordToTheFlowItFallsBackTo) {
    for (const double to : {-2e4, -30.0, 0.0, 80.0, 1e4}) {
        const double from = squares(5e3), end = to * 2.0 * pressure;
        const double back = friction_flow(link(0.02), end, nitrogen(), 0.0, 0.0).flow;
        const auto found = friction_flow(link(0.02), from, nitrogen(), 0.0, back);
        EXPECT_NEAR(found.flow - found.slope * (from - end), back, 1e-9 * found.flow) << to;
    }
}

TEST(LinkFriction, AGuessChangesNothing) {
    const double free = friction_flow(link(0.02), squares(5e3), nitrogen(), 0.0, 0.0).flow;
    for (const double guess : {-1.0, 1e-6, 0.9 * free, free, 1e3}) {
        EXPECT_NEAR(friction_flow(link(0.02), squares(5e3), nitrogen(), guess, 0.0).flow / free, 1.0, 1e-12);
    }
}

}  // namespace
