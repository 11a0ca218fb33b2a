#include "oxfade/flow/dip.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace oxfade::flow {
namespace {

constexpr Dip dip{0.1, 0.01, 0.02};
constexpr double area = std::numbers::pi / 4.0 * 0.01;

TEST(Dip, WithoutWaterIsOpen) {
    const DipWater water = water_in_dip(dip, 0.0);
    EXPECT_FALSE(water.closed);
    EXPECT_DOUBLE_EQ(water.free_area, area);
    EXPECT_EQ(water.depth, 0.0);
    EXPECT_EQ(water.surface_before, 0.0);
}

TEST(Dip, ClosesAtItsClosingVolume) {
    const double closing = closing_volume(dip);
    EXPECT_NEAR(closing, area * 0.05 * 150.0, 1e-15);
    const DipWater open = water_in_dip(dip, closing * (1.0 - 1e-9)), shut = water_in_dip(dip, closing);
    EXPECT_FALSE(open.closed);
    EXPECT_NEAR(open.depth, 0.1, 1e-4);
    EXPECT_TRUE(shut.closed);
    EXPECT_NEAR(shut.depth, 0.1, 1e-12);
    EXPECT_EQ(shut.free_area, 0.0);
    EXPECT_NEAR(shut.rise_behind, 0.0, 1e-12);
    EXPECT_NEAR(open.wetted_steel, shut.wetted_steel, 1e-3 * shut.wetted_steel);
    EXPECT_NEAR(open.surface_before, shut.surface_before, 1e-3 * shut.surface_before);
}

TEST(Dip, RisesFurtherUpTheSteeperLeg) {
    const DipWater water = water_in_dip(dip, closing_volume(dip) + area * 2.0);
    EXPECT_NEAR(water.rise_before, 0.02, 1e-12);  // two metres more of full bore
    EXPECT_NEAR(water.rise_behind, 0.04, 1e-12);
    EXPECT_NEAR(water.depth, 0.1 + 2.0 / 150.0, 1e-12);
}

TEST(Dip, HalfFullAtTheLowestPoint) {
    // int_0^(d/2) A dy = 2/3 r^3 by direct integration of r^2 (t - sin t cos t) over half the bore.
    const double r = 0.05, quarter = r * r * r * (1.0 - 1.0 / 3.0);
    const DipWater water = water_in_dip(dip, quarter * 150.0);
    EXPECT_NEAR(water.depth, r, 1e-12);
    EXPECT_NEAR(water.free_area, 0.5 * area, 1e-12);
}

TEST(Dip, ATraceOfWater) {
    const DipWater water = water_in_dip(dip, 1e-12);
    EXPECT_FALSE(water.closed);
    EXPECT_GT(water.depth, 0.0);
    EXPECT_LT(water.depth, 1e-3);
}

TEST(Dip, ATrapIsClosedWhateverItHolds) {
    const DipWater water = water_in_trap(0.05, 0.2, 2e-3);
    EXPECT_TRUE(water.closed);
    EXPECT_EQ(water.rise_before, 0.2);
    EXPECT_EQ(water.rise_behind, 0.2);
    EXPECT_NEAR(water.wetted_steel, 0.16, 1e-15);
    EXPECT_EQ(water_in_trap(0.0, 0.2, 2e-3).surface_before, 0.0);
}

TEST(Dip, StrengthIsAWaterColumn) {
    EXPECT_NEAR(seal_strength(0.2, 277.13), 999.975 * 9.80665 * 0.2, 0.1);
    EXPECT_LT(seal_strength(0.2, 313.15), seal_strength(0.2, 277.15));
    EXPECT_GT(seal_strength(0.2, 250.0), 0.0);  // ice: kept as cold water
}

}  // namespace
}  // namespace oxfade::flow
