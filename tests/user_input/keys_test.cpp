// What is said of unknown keys, missing keys, and values of the wrong type.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/scenario_text.hpp"

namespace oxfade {
namespace {

using sample::only_complaint;
using sample::with;
using testing::AllOf;
using testing::HasSubstr;

TEST(KeyMessages, UnknownKeyOffersTheNearest) {
    EXPECT_EQ(
        only_complaint(with("[[riser.pipe]]", "fil_limit = \"20 min\"\n[[riser.pipe]]")),
        "sample.toml:23: riser.North.fil_limit: unknown key (given: \"20 min\"); did you mean `fill_limit`?");
}

TEST(KeyMessages, UnknownKeyListsWhatIsKnown) {
    EXPECT_THAT(
        only_complaint(with("coefficient = 0.8", "colour = \"red\"")),
        HasSubstr("riser.North.fill.colour: unknown key (given: \"red\"); keys known here: diameter, "));
}

TEST(KeyMessages, UnknownTable) {
    EXPECT_EQ(only_complaint(sample::with_added("[mixng]\nbuoyant = true\n")),
              "sample.toml:44: mixng: unknown key; did you mean `mixing`?");
}

TEST(KeyMessages, MissingQuantityNamesTheLineOfItsTable) {
    EXPECT_EQ(only_complaint(with("set_pressure = \"30 psig\"\n", "")),
              "sample.toml:18: riser.North.set_pressure: this key is missing; a pressure, for example \"28 "
              "psig\", is "
              "wanted");
}

TEST(KeyMessages, MissingText) {
    EXPECT_THAT(
        only_complaint(with("at = \"far\"\n", "")),
        HasSubstr("sample.toml:36: riser.North.vent.end vent.at: this key is missing; a text in quotes"));
}

TEST(KeyMessages, EmptyText) {
    EXPECT_EQ(
        only_complaint(with("schedule = \"40\"", "schedule = \"\"")),
        "sample.toml:29: riser.North.pipe.far.schedule: must not be empty (given: \"\"); a text in quotes is "
        "wanted");
}

TEST(KeyMessages, MissingNameIsTakenForAnIndex) {
    EXPECT_THAT(only_complaint(with("name = \"end vent\"\n", "")),
                HasSubstr("sample.toml:36: riser.North.vent.0.name: this key is missing"));
}

TEST(KeyMessages, MissingTable) {
    std::string text(sample::scenario_text);
    const auto begin = text.find("[source]");
    text.erase(begin, text.find("[[riser]]") - begin);
    EXPECT_THAT(only_complaint(text), HasSubstr("source: this key is missing; a table is wanted"));
}

TEST(KeyMessages, MissingKind) {
    EXPECT_EQ(only_complaint(with("kind = \"regulator\", ", "")),
              "sample.toml:22: riser.North.supply.kind: this key is missing; regulator or switch is wanted");
}

TEST(KeyMessages, BareNumberInThePlaceOfAQuantity) {
    EXPECT_EQ(only_complaint(with("\"30 psig\"", "30")),
              "sample.toml:20: riser.North.set_pressure: a bare number stands here (given: 30); a pressure "
              "in quotes "
              "with a unit, for example \"28 psig\", is wanted");
}

TEST(KeyMessages, QuotedNumberInThePlaceOfACoefficient) {
    EXPECT_THAT(
        only_complaint(with("coefficient = 0.8", "coefficient = \"0.8\"")),
        AllOf(HasSubstr("sample.toml:21: riser.North.fill.coefficient: a text stands here (given: \"0.8\")"),
              HasSubstr("a bare number is wanted")));
}

TEST(KeyMessages, FractionalCount) {
    EXPECT_THAT(only_complaint(with("length = \"80 m\"", "length = \"80 m\"\ncells = 1.5")),
                HasSubstr("riser.North.pipe.east.cells: is not a whole number (given: 1.5)"));
}

TEST(KeyMessages, TextInThePlaceOfAFlag) {
    EXPECT_THAT(
        only_complaint(with("at = \"far\"", "at = \"far\"\nliquid_stop = \"yes\"")),
        HasSubstr(
            "liquid_stop: a text stands here (given: \"yes\"); true or false without quotes is wanted"));
}

TEST(KeyMessages, NumberInThePlaceOfAText) {
    EXPECT_THAT(only_complaint(with("schedule = \"40\"", "schedule = 40")),
                HasSubstr("schedule: a bare number stands here (given: 40); a text in quotes is wanted"));
}

TEST(KeyMessages, TextInThePlaceOfATable) {
    EXPECT_THAT(
        only_complaint(with("{ kind = \"regulator\", diameter = \"0.125 in\" }", "\"regulator\"")),
        HasSubstr("riser.North.supply: a text stands here (given: \"regulator\"); a table is wanted"));
}

TEST(KeyMessages, TableInThePlaceOfAList) {
    EXPECT_THAT(
        only_complaint(with("[[riser.leak]]", "[riser.leak]")),
        HasSubstr(
            "sample.toml:40: riser.North.leak: a table stands here; a list of tables, each under its own "
            "heading in double brackets, is wanted"));
}

TEST(KeyMessages, WordThatIsNotKnown) {
    EXPECT_EQ(
        only_complaint(with("\"generator\"", "\"genrator\"")),
        "sample.toml:9: source.kind: is not one of the words known here (given: \"genrator\"); did you mean "
        "`generator`?");
    EXPECT_THAT(
        only_complaint(with("length = \"80 m\"", "length = \"80 m\"\nposition = \"up\"")),
        HasSubstr(
            "position: is not one of the words known here (given: \"up\"); allowed: level, vertical, drop"));
}

TEST(KeyMessages, AllErrorsOfAFileAtOnceInItsOrder) {
    auto text = with("duration = \"3 d\"", "duration = 3");
    text = with("\"700 gal\"", "\"-700 gal\"", text);
    text = with("at = \"far\"", "at = \"fra\"", text);
    text = with("over = \"24 h\"", "ovr = \"24 h\"", text);
    const auto said = sample::complaints(text);
    ASSERT_EQ(said.size(), 5U);
    EXPECT_THAT(said[0], HasSubstr("sample.toml:3: duration"));
    EXPECT_THAT(said[1], HasSubstr("sample.toml:25: riser.North.pipe.main.volume"));
    EXPECT_THAT(said[2], HasSubstr("sample.toml:38: riser.North.vent.end vent.at"));
    EXPECT_THAT(said[3], HasSubstr("sample.toml:40: riser.North.leak.0.over: this key is missing"));
    EXPECT_THAT(said[4], HasSubstr("sample.toml:42: riser.North.leak.0.ovr: unknown key"));
}

TEST(KeyMessages, StayOnOneLineAndHarmless) {
    const auto said = only_complaint(with("\"700 gal\"", "\"7\\n\\u001b[31m gal\""));
    EXPECT_EQ(said.find('\n'), std::string::npos);
    EXPECT_EQ(said.find('\x1b'), std::string::npos);
}

}  // namespace
}  // namespace oxfade
