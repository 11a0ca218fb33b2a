#include "oxfade/plant/temperature.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace oxfade::plant {
namespace {

constexpr double hour = 3600.0, day = 86400.0;
constexpr double never = std::numeric_limits<double>::infinity();

TEST(Temperature, ANumberStays) {
    const Temperature t = 280.0;
    EXPECT_TRUE(t.steady());
    for (const double value : {t.at(0.0), t.at(1e9), t.mean(), t.coldest(), t.warmest()})
        EXPECT_EQ(value, 280.0);
    EXPECT_EQ(t.slope_at(5.0), 0.0);
    EXPECT_EQ(t.next_knot(0.0), never);
    EXPECT_EQ(t.longest_step(), never);
}

TEST(Temperature, SwingReachesFromColdestToWarmest) {
    const Temperature t = DailySwing{277.0, 6.0, day, 15.0 * hour};
    EXPECT_FALSE(t.steady());
    EXPECT_DOUBLE_EQ(t.at(15.0 * hour), 280.0);
    EXPECT_NEAR(t.at(3.0 * hour), 274.0, 1e-12);
    EXPECT_NEAR(t.at(9.0 * hour), 277.0, 1e-12);
    EXPECT_NEAR(t.at(15.0 * hour + 7.0 * day), 280.0, 1e-10);
    EXPECT_EQ(t.mean(), 277.0);
    EXPECT_EQ(t.coldest(), 274.0);
    EXPECT_EQ(t.warmest(), 280.0);
    EXPECT_GT(t.slope_at(9.0 * hour), 0.0);
    EXPECT_LT(t.longest_step(), day / 12.0);
    EXPECT_TRUE(Temperature(DailySwing{277.0, 0.0}).steady());
}

TEST(Temperature, SlopeIsThatOfTheCourse) {
    const Temperature swing = DailySwing{277.0, 6.0, day, 15.0 * hour};
    const Temperature table =
        TemperatureTable{{{hour, 270.0}, {2.0 * hour, 280.0}, {5.0 * hour, 274.0}}, 8.0 * hour};
    for (const double at : {0.3 * hour, 1.7 * hour, 4.2 * hour, 7.0 * hour, 30.9 * hour}) {
        EXPECT_NEAR(swing.slope_at(at), (swing.at(at + 1.0) - swing.at(at - 1.0)) / 2.0, 1e-9);
        EXPECT_NEAR(table.slope_at(at), (table.at(at + 1.0) - table.at(at - 1.0)) / 2.0, 1e-9);
    }
}

TEST(Temperature, TableIsConstantBeyondItsEnds) {
    const Temperature t = TemperatureTable{{{hour, 270.0}, {2.0 * hour, 280.0}}, {}};
    EXPECT_EQ(t.at(0.0), 270.0);
    EXPECT_EQ(t.at(1.5 * hour), 275.0);
    EXPECT_EQ(t.at(9.0 * hour), 280.0);
    EXPECT_EQ(t.slope_at(0.5 * hour), 0.0);
    EXPECT_EQ(t.slope_at(3.0 * hour), 0.0);
    EXPECT_EQ(t.mean(), 275.0);
    EXPECT_EQ(t.next_knot(0.0), hour);
    EXPECT_EQ(t.next_knot(hour), 2.0 * hour);
    EXPECT_EQ(t.next_knot(2.0 * hour), never);
}

TEST(Temperature, TableStartsOverAfterItsPeriod) {
    const Temperature t = TemperatureTable{{{hour, 270.0}, {3.0 * hour, 280.0}}, 4.0 * hour};
    EXPECT_DOUBLE_EQ(t.at(0.0), 275.0);  // on the way back from the last to the first
    EXPECT_DOUBLE_EQ(t.at(4.0 * hour), 275.0);
    EXPECT_DOUBLE_EQ(t.at(6.0 * hour), 275.0);
    EXPECT_DOUBLE_EQ(t.at(7.0 * hour), 280.0);
    EXPECT_DOUBLE_EQ(t.mean(), 275.0);
    double knot = 0.0;
    for (int k = 0; k < 40; ++k) {
        const double next = t.next_knot(knot);
        EXPECT_NEAR(next, (1.0 + 2.0 * k) * hour, 1e-6);
        knot = next;
    }
}

TEST(Temperature, OneEntryIsAConstant) {
    EXPECT_TRUE(Temperature(TemperatureTable{{{0.0, 281.0}}, {}}).steady());
    EXPECT_EQ(Temperature(TemperatureTable{{{5.0, 281.0}}, {}}).mean(), 281.0);
}

}  // namespace
}  // namespace oxfade::plant
