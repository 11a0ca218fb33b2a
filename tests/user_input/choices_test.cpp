// What is said where keys exclude each other or belong together.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/scenario_text.hpp"

namespace oxfade {
namespace {

using sample::only_complaint;
using sample::with;
using testing::HasSubstr;

std::string with_open(const std::string& open) {
    return with("diameter = \"0.03 in\"", "diameter = \"0.03 in\"\nopen = " + open);
}

TEST(ChoiceMessages, PressureAndAltitude) {
    EXPECT_THAT(only_complaint(with("[site]", "[site]\naltitude = \"10 m\"")),
                HasSubstr("sample.toml:5: site: `pressure` and `altitude` exclude each other"));
}

TEST(ChoiceMessages, AltitudeOutOfRange) {
    EXPECT_THAT(only_complaint(with("pressure = \"100 kPa\"", "altitude = \"40 km\"")),
                HasSubstr("site.altitude: is out of range (given: \"40 km\"); from -5000 m to 11 000 m"));
}

TEST(ChoiceMessages, PipeWithoutASize) {
    EXPECT_THAT(only_complaint(with("volume = \"700 gal\"\n", "")),
                HasSubstr("sample.toml:23: riser.North.pipe.main: the pipe has no size; give `volume`, or"));
}

TEST(ChoiceMessages, PipeWithTwoSizes) {
    EXPECT_THAT(only_complaint(with("bore = \"50 mm\"", "bore = \"50 mm\"\nvolume = \"3 gal\"")),
                HasSubstr("riser.North.pipe.east: `volume` and `bore` exclude each other"));
    EXPECT_THAT(only_complaint(with("volume = \"700 gal\"", "volume = \"700 gal\"\nlength = \"3 m\"")),
                HasSubstr("riser.North.pipe.main.length: `volume` and `length` exclude each other"));
}

TEST(ChoiceMessages, ScheduleThatIsNoText) {
    EXPECT_THAT(only_complaint(with("schedule = \"40\"\n", "schedule = 40\n")),
                HasSubstr("riser.North.pipe.far.schedule: a bare number stands here"));
}

TEST(ChoiceMessages, UnknownScheduleListsThoseOfTheSize) {
    EXPECT_EQ(
        only_complaint(with("schedule = \"40\"", "schedule = \"20\"")),
        "sample.toml:29: riser.North.pipe.far.schedule: there is no such schedule of nominal 2 in (given: "
        "\"20\"); allowed: 5, 10, 40; or give `bore`");
}

TEST(ChoiceMessages, UnknownNominalSizeListsThoseKnown) {
    EXPECT_THAT(
        only_complaint(with("\"2 in\"", "\"7 in\"")),
        HasSubstr("riser.North.pipe.far.nominal: is not a nominal pipe size known here (given: \"7 in\"); in "
                  "inches: 1/2, 3/4, 1, 1-1/4,"));
}

TEST(ChoiceMessages, LeakWithoutASize) {
    EXPECT_THAT(
        only_complaint(sample::with_added("[[riser.leak]]\nat = \"far\"\n")),
        HasSubstr(
            "sample.toml:44: riser.North.leak.1: the leak has no size; give `loss`, `over` and `from`"));
}

TEST(ChoiceMessages, LeakWithTwoSizes) {
    EXPECT_THAT(only_complaint(with("loss = ", "flow = \"1 L/min\"\nloss = ")),
                HasSubstr("riser.North.leak.0: `loss` and `flow` exclude each other"));
}

TEST(ChoiceMessages, LeakTestInPart) {
    EXPECT_THAT(only_complaint(with("over = \"24 h\"\n", "")),
                HasSubstr("riser.North.leak.0.over: this key is missing; a time, for example"));
}

TEST(ChoiceMessages, VentThatDoesNotSayWhen) {
    EXPECT_THAT(
        only_complaint(with_open("\"never\"")),
        HasSubstr("sample.toml:40: riser.North.vent.end vent.open: does not say when the vent opens (given: "
                  "\"never\"); \"always\","));
    EXPECT_THAT(only_complaint(with_open("true")),
                HasSubstr("does not say when the vent opens (given: true)"));
    EXPECT_THAT(only_complaint(with_open("{}")),
                HasSubstr("vent.end vent.open: does not say when it opens; give"));
}

TEST(ChoiceMessages, VentWithTwoPolicies) {
    EXPECT_THAT(only_complaint(with_open("{ until = \"2 d\", every = \"6 h\", for = \"2 min\" }")),
                HasSubstr("`until` and `every` exclude each other"));
}

TEST(ChoiceMessages, VentPolicyInPart) {
    EXPECT_THAT(only_complaint(with_open("{ every = \"6 h\" }")),
                HasSubstr("riser.North.vent.end vent.open.for: this key is missing"));
    EXPECT_THAT(only_complaint(with_open("{ high = \"6 psig\" }")),
                HasSubstr("riser.North.vent.end vent.open.low: this key is missing"));
}

TEST(ChoiceMessages, UntilTakesATimeOrTarget) {
    EXPECT_THAT(only_complaint(with_open("{ until = \"targt\" }")),
                HasSubstr("vent.open.until: `targt` does not begin with a number"));
}

TEST(ChoiceMessages, SourceKeysOfAnotherKind) {
    EXPECT_THAT(
        sample::complaints(with("\"generator\"", "\"compressor\"")),
        testing::IsSupersetOf({HasSubstr("sample.toml:10: source.purity: unknown key (given: \"98 %\")"),
                               HasSubstr("source.receiver.air_below: a compressor gives nothing but air")}));
    EXPECT_THAT(sample::complaints(with("\"generator\"", "\"cylinders\"")),
                testing::Contains(HasSubstr("source.receiver: cylinders have no receiver")));
}

TEST(ChoiceMessages, LinkNeedsTwoEnds) {
    EXPECT_THAT(
        only_complaint(sample::with_added("[[riser.link]]\nbetween = [\"far\"]\n")),
        HasSubstr("sample.toml:45: riser.North.link.0.between: a link has two ends (given: [\"far\"])"));
    EXPECT_THAT(only_complaint(sample::with_added("[[riser.link]]\nbetween = []\n")), HasSubstr("two ends"));
    EXPECT_THAT(only_complaint(sample::with_added("[[riser.link]]\nbetween = \"far\"\n")),
                HasSubstr("a list of texts in quotes is wanted"));
    EXPECT_THAT(only_complaint(sample::with_added("[[riser.link]]\n")),
                HasSubstr("between: this key is missing"));
}

TEST(ChoiceMessages, ToleranceOutOfRange) {
    for (const char* value : {"0", "1", "nan", "-1e-6"}) {
        EXPECT_THAT(
            only_complaint(sample::with_added(std::string("[solver]\nrelative_tolerance = ") + value + "\n")),
            HasSubstr("sample.toml:45: solver.relative_tolerance: is out of range"));
    }
}

}  // namespace
}  // namespace oxfade
