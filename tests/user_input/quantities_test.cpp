// What is said of quantities in a file.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/scenario_text.hpp"

namespace oxfade {
namespace {

using sample::only_complaint;
using sample::with;
using testing::HasSubstr;

TEST(QuantityMessages, WrongDimensionInWords) {
    EXPECT_EQ(only_complaint(with("\"0.03 in\"", "\"3 psi\"")),
              "sample.toml:39: riser.North.vent.end vent.diameter: a length is wanted, `3 psi` is a pressure "
              "(given: "
              "\"3 psi\"); for example \"240 ft\"");
}

TEST(QuantityMessages, MissingUnit) {
    EXPECT_THAT(
        only_complaint(with("\"700 gal\"", "\"700\"")),
        HasSubstr("riser.North.pipe.main.volume: `700` has no unit (given: \"700\"); a volume is wanted"));
}

TEST(QuantityMessages, UnknownUnit) {
    EXPECT_THAT(only_complaint(with("\"700 gal\"", "\"700 gls\"")), HasSubstr("`gls` is not a known unit"));
    EXPECT_THAT(only_complaint(with("\"30 psig\"", "\"30 psigg\"")), HasSubstr("did you mean `psig`?"));
}

TEST(QuantityMessages, NoNumber) {
    EXPECT_THAT(only_complaint(with("\"700 gal\"", "\"about 700 gal\"")),
                HasSubstr("`about 700 gal` does not begin with a number"));
}

TEST(QuantityMessages, DecimalComma) {
    EXPECT_THAT(only_complaint(with("\"1.5 psi\"", "\"1,5 psi\"")), HasSubstr("write a decimal point"));
}

TEST(QuantityMessages, NotFinite) {
    EXPECT_THAT(only_complaint(with("\"700 gal\"", "\"inf gal\"")),
                HasSubstr("`inf gal` is not a finite number"));
    EXPECT_THAT(only_complaint(with("\"700 gal\"", "\"1e999 gal\"")),
                HasSubstr("too large or too small to hold"));
}

TEST(QuantityMessages, GaugePressureWhereNoneCanBe) {
    EXPECT_THAT(
        only_complaint(with("\"100 kPa\"", "\"0 psig\"")),
        HasSubstr(
            "sample.toml:6: site.pressure: an absolute pressure is wanted, `0 psig` is a gauge pressure"));
}

TEST(QuantityMessages, GaugeDifferenceIsAHint) {
    const auto scenario = sample::read(with("\"1.5 psi\"", "\"1.5 psig\""));
    ASSERT_EQ(scenario.hints.size(), 1U);
    EXPECT_EQ(to_string(scenario.hints[0]),
              "sample.toml:41: riser.North.leak.0.loss: is taken as a difference of pressures (given: \"1.5 "
              "psig\"); "
              "write it without the g: psi, bar, kPa");
}

TEST(QuantityMessages, DegreesWithoutTheirSign) {
    EXPECT_NEAR(sample::read(with("\"20 degC\"", "\"50 F\"")).plant.site.temperature.mean(), 283.15, 1e-9);
}

TEST(QuantityMessages, GasIsCountedAtTheReferenceOfTheFile) {
    const auto flow = [](const std::string& text) {
        return std::get<plant::Generator>(sample::read(text).plant.source).nitrogen_flow;
    };
    const auto normal = with("\"140 ft3/h\"", "\"3.6 Nm3/h\"");
    EXPECT_NEAR(flow(normal), 0.001 * 293.15 / 273.15, 1e-12);
    EXPECT_NEAR(flow(with("[source]", "[site.reference]\ntemperature = \"0 degC\"\n[source]", normal)), 0.001,
                1e-12);
}

TEST(QuantityMessages, GasIsNoSpace) {
    EXPECT_THAT(only_complaint(with("\"700 gal\"", "\"3 Nm3\"")),
                HasSubstr("riser.North.pipe.main.volume: `3 Nm3` is an amount of gas"));
}

}  // namespace
}  // namespace oxfade
