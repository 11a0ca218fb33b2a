#include "oxfade/flow/orifice.hpp"

#include <cmath>

#include "support/hole.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::flow;

TEST(Nozzle, AgreesWithTheGeneralPowers) {
    for (double r = 0.0; r < 0.9999; r += 0.0101) {
        const double expected = sample::hole_flow(1.0, 1.0, r, 1.0, 1.0 / gas::gas_constant);
        EXPECT_NEAR(nozzle_function(r).value, expected, 1e-12) << r;
    }
}

TEST(Nozzle, IsContinuousAtTheCriticalRatioAndAtTheRoundedEdge) {
    for (const double r : {critical_ratio, 1.0 - rounding_width}) {
        const auto below = nozzle_function(r - 1e-9), above = nozzle_function(r + 1e-9);
        EXPECT_NEAR(below.value, above.value, 1e-5 * choked_nozzle_function);
        EXPECT_NEAR(below.slope, above.slope, 1e-3 * (1.0 + std::abs(above.slope)));
    }
}

TEST(Nozzle, SlopeIsTheDerivative) {
    for (const double r : {0.2, 0.6, 0.8, 0.99, 0.9998, 0.99995, 0.999999}) {
        const double h = 1e-8;
        const double difference = (nozzle_function(r + h).value - nozzle_function(r - h).value) / (2.0 * h);
        EXPECT_NEAR(nozzle_function(r).slope, difference, 1e-4 * (1.0 + std::abs(difference))) << r;
    }
}

TEST(Nozzle, FallsToNothingWithAFiniteSlope) {
    EXPECT_EQ(nozzle_function(1.0).value, 0.0);
    EXPECT_EQ(nozzle_function(1.5).value, 0.0);
    double before = nozzle_function(critical_ratio).value;
    for (double r = critical_ratio + 1e-3; r < 1.0; r += 1e-3) {
        EXPECT_LT(nozzle_function(r).value, before);
        before = nozzle_function(r).value;
    }
    EXPECT_GT(nozzle_function(1.0 - 1e-12).slope, -1e6);
    for (double u = 0.01; u < 1.0; u += 0.01) EXPECT_GT(nozzle_function(1.0 - u * rounding_width).value, 0.0);
}

TEST(Draught, SlopesAreDerivatives) {
    for (const double down : {0.5e5, 1.01325e5, 2.9e5, 2.99995e5}) {
        const double up = 3e5, h = 0.05;
        const auto d = draught(up, down, 290.0);
        const double by_up =
            (draught(up + h, down, 290.0).value - draught(up - h, down, 290.0).value) / (2 * h);
        const double by_down =
            (draught(up, down + h, 290.0).value - draught(up, down - h, 290.0).value) / (2 * h);
        const double scale = std::abs(by_up) + std::abs(by_down);
        EXPECT_NEAR(d.slope_upstream, by_up, 1e-4 * scale) << down;
        EXPECT_NEAR(d.slope_downstream, by_down, 1e-4 * scale) << down;
    }
}

TEST(Draught, IsInProportionToBothPressuresTogether) {
    EXPECT_NEAR(draught(6e5, 4e5, 290.0).value / draught(3e5, 2e5, 290.0).value, 2.0, 1e-13);
}

TEST(Draught, NothingFlowsAgainstThePressureOrFromNothing) {
    EXPECT_EQ(draught(1e5, 1e5, 290.0).value, 0.0);
    EXPECT_EQ(draught(1e5, 2e5, 290.0).value, 0.0);
    EXPECT_EQ(draught(0.0, 0.0, 290.0).value, 0.0);
    EXPECT_GT(draught(1e5, 0.0, 290.0).value, 0.0);
}

TEST(OrificeFlow, GoesWithAreaAndInverselyWithTheRoots) {
    const double one = orifice_flow(1e-6, 4e5, 1e5, 290.0, 0.028);
    EXPECT_NEAR(orifice_flow(3e-6, 4e5, 1e5, 290.0, 0.028) / one, 3.0, 1e-14);
    EXPECT_NEAR(orifice_flow(1e-6, 4e5, 1e5, 4.0 * 290.0, 0.028) / one, 0.5, 1e-14);
    EXPECT_NEAR(orifice_flow(1e-6, 4e5, 1e5, 290.0, 4.0 * 0.028) / one, 0.5, 1e-14);
}

}  // namespace
