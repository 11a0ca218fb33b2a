// What is said of water in low points.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/scenario_text.hpp"

namespace oxfade {
namespace {

using sample::only_complaint;
using sample::with;
using sample::with_added;
using testing::HasSubstr;
using testing::StartsWith;

const std::string dip =
    "[[riser.low_point]]\nname = \"dip\"\non = \"far\"\nwater = \"1.5 gal\"\nrise = \"8 in\"\n";

std::string dip_with(std::string_view from, std::string_view to) { return with_added(with(from, to, dip)); }

TEST(LowPointMessages, GoodOnesAreRead) {
    const auto given = sample::read(with_added(dip)).plant.risers[0].low_points.at(0);
    EXPECT_EQ(given.on, "far");
    EXPECT_NEAR(given.water, 1.5 * 3.785411784e-3, 1e-12);
    EXPECT_NEAR(std::get<plant::WaterRise>(given.shape).height, 8 * 0.0254, 1e-12);
}

TEST(LowPointMessages, SlopesAreLengthsOverLengths) {
    for (const char* slopes : {"[\"1 in / 10 ft\", \"2 in / 10 ft\"]", "[\"0.1 in/ft\", \"1/60 in/in\"]",
                               "[\"0.8333333333333334 %\", \"1.6666666666666667 %\"]"}) {
        const auto text = dip_with("rise = \"8 in\"", std::string("slopes = ") + slopes);
        const auto given =
            std::get<plant::LegSlopes>(sample::read(text).plant.risers[0].low_points.at(0).shape);
        EXPECT_NEAR(given.before, 1.0 / 120.0, 1e-12) << slopes;
        EXPECT_NEAR(given.behind, 2.0 / 120.0, 1e-12) << slopes;
    }
}

TEST(LowPointMessages, WrongSlopes) {
    EXPECT_THAT(only_complaint(dip_with("rise = \"8 in\"", "slopes = [\"1 in / 10 ft\", \"2 psi\"]")),
                HasSubstr("`2 psi` is not a height over a length"));
    EXPECT_THAT(only_complaint(dip_with("rise = \"8 in\"", "slopes = [\"1 in / 10 ft\", \"1/120\"]")),
                HasSubstr("a slope is wanted, for example \"1 in / 10 ft\""));
    EXPECT_THAT(only_complaint(dip_with("rise = \"8 in\"", "slopes = [\"1 in / 10 ft\"]")),
                HasSubstr("riser.North.low_point.dip.slopes: a low point has two legs"));
    EXPECT_THAT(only_complaint(dip_with("rise = \"8 in\"", "slopes = [\"1 ft / 2 ft\", \"2 in / 10 ft\"]")),
                HasSubstr("above 0 and at most 0.25"));
}

TEST(LowPointMessages, NeitherRiseNorSlopes) {
    EXPECT_THAT(only_complaint(dip_with("rise = \"8 in\"\n", "")),
                StartsWith("sample.toml:44: riser.North.low_point.dip: nothing says how the water stands"));
    EXPECT_THAT(only_complaint(with_added(dip + "slopes = [\"1 in / 10 ft\", \"2 in / 10 ft\"]\n")),
                HasSubstr("`rise` and `slopes` exclude each other"));
}

TEST(LowPointMessages, SlopesNeedABore) {
    const auto text = with("bore = \"50 mm\"\nlength = \"80 m\"", "volume = \"90 gal\"",
                           dip_with("rise = \"8 in\"", "slopes = [\"1 in / 10 ft\", \"2 in / 10 ft\"]"));
    EXPECT_THAT(only_complaint(with("on = \"far\"", "on = \"east\"", text)),
                HasSubstr("the pipe is given by its volume alone"));
}

TEST(LowPointMessages, WhereItLies) {
    EXPECT_THAT(only_complaint(dip_with("\"far\"", "\"fra\"")),
                HasSubstr("there is no pipe `fra` in the riser"));
    EXPECT_THAT(only_complaint(dip_with("\"far\"", "\"main\"")), HasSubstr("hangs on no other one"));
    EXPECT_THAT(only_complaint(with_added(dip + with("\"dip\"", "\"sag\"", dip))),
                HasSubstr("riser.North.low_point.sag.on: two low points lie on one link"));
}

TEST(LowPointMessages, MoreWaterThanFits) {
    EXPECT_THAT(only_complaint(dip_with("1.5 gal", "100 gal")),
                HasSubstr("riser.North.low_point.dip.water: with all water beside it, pipe `far` would"));
}

TEST(LowPointMessages, ChamberOfAVent) {
    EXPECT_THAT(only_complaint(with("diameter = \"0.03 in\"", "diameter = \"0.03 in\"\nchamber = \"-1 mL\"")),
                HasSubstr("riser.North.vent.end vent.chamber: must not be below 0"));
}

}  // namespace
}  // namespace oxfade
