#include "engine/dense_step.hpp"

#include <cmath>

namespace {

using namespace oxfade::engine;

TEST(DenseStep, CubicMeetsValuesAndSlopesAtBothEnds) {
    const double y0 = 1.5, y1 = -0.5, d0 = 2.0, d1 = -3.0, h = 1e-6;
    EXPECT_DOUBLE_EQ(DenseStep::cubic(0.0, y0, y1, d0, d1), y0);
    EXPECT_DOUBLE_EQ(DenseStep::cubic(1.0, y0, y1, d0, d1), y1);
    EXPECT_NEAR((DenseStep::cubic(h, y0, y1, d0, d1) - y0) / h, d0, 1e-4);
    EXPECT_NEAR((y1 - DenseStep::cubic(1.0 - h, y0, y1, d0, d1)) / h, d1, 1e-4);
}

TEST(DenseStep, ReproducesAnyCubic) {
    const auto f = [](double t) { return 2.0 - t + 3.0 * t * t - 4.0 * t * t * t; };
    for (const double t : {0.1, 0.35, 0.8}) {
        EXPECT_NEAR(DenseStep::cubic(t, f(0.0), f(1.0), -1.0, -1.0 + 6.0 - 12.0), f(t), 1e-14);
    }
}

TEST(DenseStep, StateAndSingleEntriesAgree) {
    DenseStep dense;
    dense.begin = 10.0;
    dense.size = 4.0;
    dense.x0 = State::LinSpaced(3, 1.0, 3.0);
    dense.x1 = State::LinSpaced(3, -2.0, 5.0);
    dense.f0 = State::LinSpaced(3, 0.3, -0.2);
    dense.f1 = State::LinSpaced(3, -0.7, 0.9);
    State x;
    for (const double theta : {0.0, 0.2, 0.9, 1.0}) {
        dense.state(theta, x);
        for (int i = 0; i < 3; ++i) EXPECT_NEAR(x[i], dense.value(i, theta), 1e-14);
    }
    EXPECT_DOUBLE_EQ(dense.time(0.25), 11.0);
}

std::vector<double> changes(double y0, double y1, double d0, double d1) {
    std::array<double, 3> where{};
    const int count = sign_changes(y0, y1, d0, d1, where);
    return {where.begin(), where.begin() + count};
}

TEST(SignChanges, OneCrossingOfAStraightLine) {
    const auto at = changes(-1.0, 3.0, 4.0, 4.0);
    ASSERT_EQ(at.size(), 1u);
    EXPECT_NEAR(at[0], 0.25, 1e-12);
}

TEST(SignChanges, NoneWithoutACrossing) {
    EXPECT_TRUE(changes(1.0, 2.0, 1.0, 1.0).empty());
    EXPECT_TRUE(changes(-1.0, -2.0, 5.0, 5.0).empty());   // rises at both ends: no way to return
    EXPECT_TRUE(changes(-1.0, -1.0, 0.1, -0.1).empty());  // turns before it gets there
}

TEST(SignChanges, TwoCrossingsBetweenEndsOnOneSide) {
    const auto at = changes(-1.0, -1.0, 8.0, -8.0);  // -1 + 8 t (1 - t)
    ASSERT_EQ(at.size(), 2u);
    EXPECT_NEAR(at[0], 0.5 - std::sqrt(0.125), 1e-12);
    EXPECT_NEAR(at[1], 0.5 + std::sqrt(0.125), 1e-12);
}

TEST(SignChanges, ThreeCrossings) {
    // (t - 0.2)(t - 0.5)(t - 0.8)
    const auto slope = [](double t) {
        return (t - 0.5) * (t - 0.8) + (t - 0.2) * (t - 0.8) + (t - 0.2) * (t - 0.5);
    };
    const auto at = changes(-0.08, 0.08, slope(0.0), slope(1.0));
    ASSERT_EQ(at.size(), 3u);
    EXPECT_NEAR(at[0], 0.2, 1e-9);
    EXPECT_NEAR(at[1], 0.5, 1e-9);
    EXPECT_NEAR(at[2], 0.8, 1e-9);
}

TEST(SignChanges, ZeroCountsAsNotNegative) {
    EXPECT_TRUE(changes(0.0, 1.0, 1.0, 1.0).empty());
    const auto falls = changes(0.0, -1.0, -1.0, -1.0);
    ASSERT_EQ(falls.size(), 1u);
    EXPECT_LT(falls[0], 1e-6);
    const auto arrives = changes(-1.0, 0.0, 1.0, 1.0);
    ASSERT_EQ(arrives.size(), 1u);
    EXPECT_DOUBLE_EQ(arrives[0], 1.0);
}

TEST(FirstRise, IsTheFirstTurnFromNegative) {
    EXPECT_NEAR(first_rise(-1.0, 3.0, 4.0, 4.0), 0.25, 1e-12);
    EXPECT_LT(first_rise(1.0, -1.0, -2.0, -2.0), 0.0);  // falls only
    EXPECT_LT(first_rise(1.0, 2.0, 1.0, 1.0), 0.0);
    EXPECT_NEAR(first_rise(-1.0, -1.0, 8.0, -8.0), 0.5 - std::sqrt(0.125), 1e-12);
}

TEST(FirstRise, AStartAboveCountsOnlyAfterADip) {
    EXPECT_NEAR(first_rise(1.0, 1.0, -8.0, 8.0), 0.5 + std::sqrt(0.125), 1e-12);
    EXPECT_LT(first_rise(0.0, 1.0, 1.0, 1.0), 0.0);
}

}  // namespace
