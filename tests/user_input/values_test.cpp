// What is said of values that no plant can have, with the line and the value as written.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/scenario_text.hpp"

namespace oxfade {
namespace {

using sample::only_complaint;
using sample::with;
using testing::HasSubstr;

TEST(ValueMessages, NotAboveZero) {
    EXPECT_EQ(only_complaint(with("\"80 m\"", "\"-80 m\"")),
              "sample.toml:35: riser.North.pipe.east.length: must be above 0 (given: \"-80 m\"); a length "
              "above 0 is "
              "wanted");
    EXPECT_THAT(only_complaint(with("\"140 ft3/h\"", "\"0 ft3/h\"")),
                HasSubstr("sample.toml:11: source.nitrogen_flow: must be above 0 (given: \"0 ft3/h\")"));
}

TEST(ValueMessages, TooLargeToBeMeant) {
    EXPECT_THAT(
        only_complaint(with("\"80 m\"", "\"80 Gm\"")),
        HasSubstr("is larger than any plant has (given: \"80 Gm\"); at most 1e+06 m; look at its unit"));
}

TEST(ValueMessages, OutOfRange) {
    EXPECT_THAT(only_complaint(with("\"20 degC\"", "\"20 K\"")),
                HasSubstr("site.temperature: is out of range (given: \"20 K\"); from 200 K to 400 K"));
    EXPECT_THAT(only_complaint(with("\"97 %\"", "\"100 %\"")),
                HasSubstr("sample.toml:4: target: is out of range (given: \"100 %\"); above 0 and below 1"));
    EXPECT_THAT(
        only_complaint(with("coefficient = 0.8", "coefficient = 1.2")),
        HasSubstr("riser.North.fill.coefficient: is out of range (given: 1.2); above 0 and at most 1"));
    EXPECT_THAT(only_complaint(with("\"80 m\"", "\"80 m\"\ncells = 0")),
                HasSubstr("cells: is out of range (given: 0); a whole number from 1 to 10000"));
}

TEST(ValueMessages, PressuresInTheWrongOrder) {
    EXPECT_THAT(only_complaint(with("\"105 psig\"", "\"80 psig\"")),
                HasSubstr("source.receiver.start: must be below `stop` (given: \"85 psig\")"));
    EXPECT_THAT(only_complaint(with("\"75 psig\"", "\"90 psig\"")),
                HasSubstr("source.receiver.air_below: must be below `start` (given: \"90 psig\")"));
    EXPECT_THAT(
        only_complaint(with("\"30 psig\"", "\"0 psig\"")),
        HasSubstr("riser.North.set_pressure: must be above the site's air pressure (given: \"0 psig\")"));
    EXPECT_THAT(only_complaint(
                    with("kind = \"regulator\"", "kind = \"switch\", low = \"3 psig\", high = \"2 psig\"")),
                HasSubstr("riser.North.supply.low: must be below `high` (given: \"3 psig\")"));
}

TEST(ValueMessages, LeakTestLosesAllItsPressure) {
    EXPECT_THAT(
        only_complaint(with("\"1.5 psi\"", "\"41 psi\"")),
        HasSubstr("riser.North.leak.0.loss: is all of the test's pressure or more (given: \"41 psi\")"));
}

TEST(ValueMessages, UnknownPipeOffersTheNearest) {
    EXPECT_EQ(
        only_complaint(with("from = \"main\"", "from = \"mian\"")),
        "sample.toml:33: riser.North.pipe.east.from: there is no pipe `mian` in the riser (given: \"mian\"); "
        "did you mean `main`?");
    EXPECT_THAT(only_complaint(with("at = \"far\"", "at = \"fra\"")), HasSubstr("did you mean `far`?"));
    EXPECT_THAT(
        only_complaint(sample::with_added("[[riser.link]]\nbetween = [\"far\", \"eats\"]\n")),
        HasSubstr("sample.toml:45: riser.North.link.0.between: there is no pipe `eats` in the riser (given: "
                  "[\"far\", \"eats\"]); did you mean `east`?"));
}

TEST(ValueMessages, PipesInARing) {
    EXPECT_THAT(only_complaint(with("from = \"main\"", "from = \"east\"")),
                HasSubstr("sample.toml:33: riser.North.pipe.east.from: pipe `east` hangs on itself"));
}

TEST(ValueMessages, FirstPipeHangsOnAnother) {
    EXPECT_THAT(only_complaint(with("name = \"main\"", "name = \"main\"\nfrom = \"far\"")),
                HasSubstr("sample.toml:25: riser.North.pipe.main.from: the first pipe is where gas enters"));
}

TEST(ValueMessages, SameNameTwice) {
    EXPECT_THAT(
        only_complaint(with("name = \"east\"", "name = \"far\"")),
        HasSubstr("sample.toml:32: riser.North.pipe.2.name: two pipes have this name (given: \"far\")"));
}

TEST(ValueMessages, LoopsThatCannotBe) {
    const auto said = [](const char* between) {
        return only_complaint(sample::with_added(std::string("[[riser.link]]\nbetween = ") + between + "\n"));
    };
    EXPECT_THAT(said("[\"far\", \"far\"]"), HasSubstr("the link joins a pipe to itself"));
    EXPECT_THAT(said("[\"far\", \"main\"]"),
                HasSubstr("the loop runs through a pipe given by its volume alone"));
    EXPECT_THAT(said("[\"far\", \"east\"]\n[[riser.link]]\nbetween = [\"east\", \"far\"]"),
                HasSubstr("sample.toml:47: riser.North.link.1.between: these two pipes are linked already"));
}

TEST(ValueMessages, NoRiser) {
    const std::string text(sample::scenario_text);
    EXPECT_EQ(only_complaint(text.substr(0, text.find("[[riser]]"))),
              "sample.toml:1: riser: there is no riser; at least one [[riser]] is wanted");
}

}  // namespace
}  // namespace oxfade
