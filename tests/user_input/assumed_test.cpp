// What a file may leave out, and what then stands for it.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "support/scenario_text.hpp"

namespace oxfade {
namespace {

using sample::only_complaint;
using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

constexpr const char* shortest = R"(format = 1
[source]
nitrogen_flow = "140 ft3/h"
air_flow = "700 ft3/h"
[[riser]]
name = "Dock"
set_pressure = "28 psig"
[[riser.pipe]]
name = "main"
nominal = "4 in"
length = "200 ft"
)";

std::vector<std::string> assumed(const std::string& text) {
    std::vector<std::string> lines;
    for (const auto& value : sample::read(text).plant.assumed) {
        lines.push_back(value.key + " = " + value.value + " (" + value.basis + ")");
    }
    return lines;
}

TEST(Assumed, AllThatHasAUsualValue) {
    EXPECT_THAT(assumed(shortest),
                ElementsAre("duration = 30 d (common practice, no source)",
                            "target = 98 % (common practice, no source)",
                            "site.pressure = 101.325 kPa (sea level, U.S. Standard Atmosphere 1976)",
                            "site.temperature = 20 degC (common practice, no source)",
                            "source.kind = generator (it has `nitrogen_flow`)",
                            "source.purity = 99 % (common practice, no source)",
                            "source.receiver.volume = 60 gal (common practice, no source)",
                            "source.receiver.start = 85 psig (common practice, no source)",
                            "source.receiver.stop = 105 psig (common practice, no source)",
                            "source.receiver.air_below = 75 psig (common practice, no source)",
                            "riser.Dock.fill.diameter = 0.5 in (common practice, no source)",
                            "riser.Dock.supply.kind = regulator (common practice, no source)",
                            "riser.Dock.supply.diameter = 0.125 in (common practice, no source)",
                            "riser.Dock.pipe.main.schedule = 10 (common practice, no source)"));
}

TEST(Assumed, NothingThatTheFileSays) { EXPECT_THAT(assumed(std::string(sample::scenario_text)), IsEmpty()); }

TEST(Assumed, IsThePlantsOwnValue) {
    const plant::Plant plant = sample::read(shortest).plant;
    EXPECT_DOUBLE_EQ(plant.duration, 30 * 86400.0);
    EXPECT_DOUBLE_EQ(plant.target, 0.98);
    EXPECT_DOUBLE_EQ(plant.site.pressure, 101'325.0);
    EXPECT_DOUBLE_EQ(plant.site.temperature.mean(), 293.15);
    EXPECT_DOUBLE_EQ(plant.risers[0].fill.diameter, 0.0127);
}

TEST(Assumed, FollowsFromWhatIsGiven) {
    const auto with_start = std::string(shortest) + "";
    const auto text =
        sample::with("[[riser]]", "[source.receiver]\nstart = \"120 psig\"\n[[riser]]", with_start);
    EXPECT_THAT(assumed(text), Contains("source.receiver.stop = 140 psig (common practice, no source)"));
    EXPECT_THAT(assumed(text), Contains("source.receiver.air_below = 110 psig (common practice, no source)"));
    const auto small = sample::with("\"4 in\"", "\"2 in\"", shortest);
    EXPECT_THAT(assumed(small), Contains("riser.Dock.pipe.main.schedule = 40 (common practice, no source)"));
}

TEST(Assumed, MayBeOverridden) {
    const auto scenario = sample::read(shortest, {{"site.temperature", "5 degC"}, {"target", "95 %"}});
    EXPECT_DOUBLE_EQ(scenario.plant.site.temperature.mean(), 278.15);
    EXPECT_EQ(scenario.plant.assumed.size(), 12U);
}

TEST(AssumedMessages, WhatHasNoUsualValueIsMissed) {
    EXPECT_THAT(only_complaint(sample::with("set_pressure = \"28 psig\"\n", "", shortest)),
                HasSubstr("riser.Dock.set_pressure: this key is missing"));
    EXPECT_THAT(only_complaint(sample::with("air_flow = \"700 ft3/h\"\n", "", shortest)),
                HasSubstr("source.air_flow: this key is missing"));
    EXPECT_THAT(only_complaint(sample::with("nitrogen_flow = \"140 ft3/h\"\n", "", shortest)),
                HasSubstr("source.kind: this key is missing"));
}

TEST(WallThickness, GivesTheBore) {
    const auto bore = [](const std::string& keys) {
        const auto text = sample::with("nominal = \"4 in\"", keys, shortest);
        return std::get<plant::Cylinder>(sample::read(text).plant.risers[0].pipes[0].shape).bore;
    };
    EXPECT_NEAR(bore("nominal = \"4 in\"\nwall = \"0.12 in\""), 4.26 * 0.0254, 1e-12);
    EXPECT_NEAR(bore("nominal = \"DN100\"\nwall = \"3 mm\""), 0.1143 - 0.006, 1e-12);
    EXPECT_NEAR(bore("outside_diameter = \"60.3 mm\"\nwall = \"2.9 mm\""), 0.0545, 1e-12);
}

TEST(WallThicknessMessages, SayWhatIsWrong) {
    const auto complaint = [](const std::string& keys) {
        return only_complaint(sample::with("nominal = \"4 in\"", keys, shortest));
    };
    EXPECT_THAT(
        complaint("outside_diameter = \"60.3 mm\"\nwall = \"31 mm\""),
        HasSubstr("riser.Dock.pipe.main.wall: is out of range (given: \"31 mm\"); above 0 and below half the "
                  "outside diameter, 30.15 mm (1.187 in)"));
    EXPECT_THAT(complaint("outside_diameter = \"60.3 mm\""),
                HasSubstr("riser.Dock.pipe.main.wall: this key is missing"));
    EXPECT_THAT(complaint("nominal = \"4 in\"\nschedule = \"10\"\nwall = \"3 mm\""),
                HasSubstr("keep one of `schedule` and `wall`"));
    EXPECT_THAT(complaint("bore = \"4 in\"\nwall = \"3 mm\""),
                HasSubstr("`bore` and `wall` exclude each other"));
    EXPECT_THAT(complaint("wall = \"3 mm\""), HasSubstr("the pipe has no size"));
    EXPECT_THAT(complaint("nominal = \"4.5 in\"\nwall = \"3 mm\""), HasSubstr("or give `outside_diameter`"));
}

}  // namespace
}  // namespace oxfade
