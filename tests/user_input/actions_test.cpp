#include <gmock/gmock.h>

#include "oxfade/error.hpp"
#include "support/scenario_text.hpp"

namespace oxfade {
namespace {

using sample::only_complaint;
using testing::HasSubstr;
using testing::StartsWith;

std::string with_action(const std::string& lines) {
    return sample::with_added("[[action]]\nat = \"1 d\"\n" + lines);
}

TEST(ActionMessages, AllKindsAreRead) {
    const auto text = sample::with_added(R"([[action]]
at = "1 d"
do = "trip"
riser = "North"
for = "2 h"
[[action]]
at = "20 h"
do = "outage"
[[action]]
at = "2 d"
do = "set"
key = "riser.North.vent.'end vent'.diameter"
value = "0.05 in"
[[action]]
at = "2 d"
do = "shut"
riser = "North"
what = "supply"
)");
    const auto plant = scenario::read_text(text, "s").plant;
    ASSERT_EQ(plant.actions.size(), 4U);
    EXPECT_EQ(plant.actions[0].deed, plant::Deed::trip);
    EXPECT_DOUBLE_EQ(plant.actions[0].duration, 7200.0);
    EXPECT_DOUBLE_EQ(plant.actions[2].value, 0.05 * 0.0254);
    EXPECT_EQ(plant.actions[3].what, "supply");
    EXPECT_EQ(plant::actions_in_order(plant)[0], 1U);
}

TEST(ActionMessages, UnknownDeed) {
    EXPECT_THAT(only_complaint(with_action("do = \"tripp\"\n")), HasSubstr("did you mean `trip`?"));
}

TEST(ActionMessages, UnknownRiser) {
    EXPECT_THAT(
        only_complaint(with_action("do = \"trip\"\nriser = \"Nort\"\n")),
        HasSubstr("action.0.riser: there is no riser `Nort` (given: \"Nort\"); did you mean `North`?"));
}

TEST(ActionMessages, UnknownValve) {
    EXPECT_THAT(only_complaint(with_action("do = \"shut\"\nriser = \"North\"\nwhat = \"end vnt\"\n")),
                HasSubstr("the riser has no vent `end vnt`"));
}

TEST(ActionMessages, BeyondTheEnd) {
    EXPECT_THAT(only_complaint(sample::with_added("[[action]]\nat = \"9 d\"\ndo = \"outage\"\n")),
                HasSubstr("action.0.at: lies beyond the end of the run"));
}

TEST(ActionMessages, UnknownKey) {
    EXPECT_THAT(
        only_complaint(with_action("do = \"set\"\nkey = \"riser.North.set_presure\"\nvalue = \"1 bar\"\n")),
        HasSubstr("did you mean `riser.North.set_pressure`?"));
}

TEST(ActionMessages, WhatCannotChange) {
    EXPECT_THAT(only_complaint(with_action("do = \"set\"\nkey = \"source.purity\"\nvalue = \"99 %\"\n")),
                HasSubstr("action.0.key: cannot change in the course of a run"));
}

TEST(ActionMessages, ValueOfAnotherKind) {
    EXPECT_THAT(
        only_complaint(with_action("do = \"set\"\nkey = \"riser.North.set_pressure\"\nvalue = \"3 ft\"\n")),
        StartsWith("sample.toml:48: action.0.value: a pressure is wanted"));
}

TEST(ActionMessages, ChangeThatMakesThePlantImpossible) {
    EXPECT_THAT(
        only_complaint(with_action("do = \"set\"\nkey = \"source.receiver.stop\"\nvalue = \"60 psig\"\n")),
        HasSubstr("action.0.value: makes the plant impossible: source.receiver.start must be below `stop`"));
}

TEST(ActionMessages, OpeningWhatIsOpen) {
    EXPECT_THAT(
        only_complaint(with_action("do = \"open\"\nriser = \"North\"\nwhat = \"end vent\"\n")),
        HasSubstr("action.0.do: `end vent` has not been shut (given: \"open\"); an `open` undoes a `shut`"));
}

TEST(ActionMessages, ShuttingWhatIsShut) {
    const std::string shut = "do = \"shut\"\nriser = \"North\"\nwhat = \"supply\"\n";
    EXPECT_THAT(only_complaint(with_action(shut + "[[action]]\nat = \"2 d\"\n" + shut)),
                HasSubstr("action.1.do: `supply` is shut already"));
}

TEST(ActionMessages, StoppingASourceTwice) {
    EXPECT_THAT(only_complaint(with_action("do = \"outage\"\n[[action]]\nat = \"2 d\"\ndo = \"outage\"\n")),
                HasSubstr("action.1.do: the source is stopped already"));
}

TEST(ActionMessages, RestoringWhatWorks) {
    // By date, not by place in the file.
    EXPECT_THAT(only_complaint(with_action("do = \"restore\"\n[[action]]\nat = \"2 d\"\ndo = \"outage\"\n")),
                HasSubstr("action.0.do: the source has not been stopped"));
}

TEST(ActionMessages, BeforeTheStart) {
    EXPECT_THAT(only_complaint(sample::with_added("[[action]]\nat = \"-1 h\"\ndo = \"outage\"\n")),
                HasSubstr("action.0.at"));
}

TEST(ActionMessages, NegativeTimeOpen) {
    EXPECT_THAT(only_complaint(with_action("do = \"trip\"\nriser = \"North\"\nfor = \"-1 h\"\n")),
                HasSubstr("action.0.for"));
}

TEST(ActionMessages, KeyOfAnotherDeed) {
    EXPECT_THAT(only_complaint(with_action("do = \"outage\"\nfor = \"1 h\"\n")), HasSubstr("action.0.for"));
}

TEST(ActionMessages, NothingToDrain) {
    EXPECT_THAT(only_complaint(with_action("do = \"drain\"\nriser = \"North\"\nwhat = \"dip\"\n")),
                HasSubstr("the riser has no low point `dip` (given: \"dip\"); it has none at all"));
}

}  // namespace
}  // namespace oxfade
