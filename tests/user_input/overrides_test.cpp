// What is said of --set.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/scenario_text.hpp"

namespace oxfade {
namespace {

using testing::HasSubstr;

std::string said_of(const std::string& key, const std::string& value) {
    return sample::only_complaint(std::string(sample::scenario_text), {{key, value}});
}

TEST(OverrideMessages, NameTheOptionInsteadOfALine) {
    EXPECT_EQ(said_of("riser.North.vent.'end vent'.diameter", "3 psi"),
              "--set: riser.North.vent.end vent.diameter: a length is wanted, `3 psi` is a pressure (given: "
              "\"3 psi\"); for example \"240 ft\"");
    EXPECT_THAT(said_of("riser.North.set_pressure", "-3 psig"),
                HasSubstr("--set: riser.North.set_pressure: must be"));
}

TEST(OverrideMessages, BareNumber) {
    EXPECT_THAT(said_of("riser.North.set_pressure", "28"),
                HasSubstr("a bare number stands here (given: 28)"));
}

TEST(OverrideMessages, UnknownEntryOffersTheNearest) {
    EXPECT_EQ(
        said_of("riser.Noth.set_pressure", "28 psig"),
        "--set: riser.Noth.set_pressure: there is no `riser.Noth` (given: 28 psig); did you mean `North`?");
    EXPECT_THAT(said_of("riser.7.set_pressure", "28 psig"), HasSubstr("there is no `riser.7`"));
}

TEST(OverrideMessages, UnknownKeyOffersTheNearest) {
    EXPECT_EQ(
        said_of("riser.North.set_presure", "28 psig"),
        "--set: riser.North.set_presure: unknown key (given: \"28 psig\"); did you mean `set_pressure`?");
    EXPECT_EQ(said_of("mixng.buoyant", "false"), "--set: mixng: unknown key; did you mean `mixing`?");
}

TEST(OverrideMessages, PathThroughAPlainValue) {
    EXPECT_THAT(said_of("target.x", "3"),
                HasSubstr("--set: target.x: `target` is a plain value and has no keys"));
    EXPECT_THAT(said_of("target.x.y", "3"), HasSubstr("`target` is a plain value and has no keys"));
}

TEST(OverrideMessages, PathToAList) {
    EXPECT_THAT(said_of("riser.North.vent.3", "3"),
                HasSubstr("--set: riser.North.vent.3: `riser.North.vent` is a list"));
}

TEST(OverrideMessages, PathThatIsNone) {
    EXPECT_THAT(said_of("riser..x", "3"), HasSubstr("--set: riser..x: is not a dotted path"));
    EXPECT_THAT(said_of("riser.'North", "3"), HasSubstr("is not a dotted path"));
}

TEST(OverrideMessages, CannotSmuggleInASecondKey) {
    EXPECT_THAT(said_of("duration", "\"3 d\"\ntitle = \"x\""), HasSubstr("does not begin with a number"));
}

TEST(OverrideMessages, NoAssignment) {
    try {
        scenario::parse_override("target");
        FAIL();
    } catch (const InputError& error) {
        EXPECT_THAT(error.what(), HasSubstr("--set: is not KEY=VALUE (given: target)"));
    }
}

}  // namespace
}  // namespace oxfade
