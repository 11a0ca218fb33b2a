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
    EXPECT_THAT(only_complaint(with("\"30 psig\"", "\"30 PSIG\"")), HasSubstr("did you mean `psig`?"));
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
    EXPECT_THAT(only_complaint(with("\"1.5 psi\"", "\"1.5 psig\"")),
                HasSubstr("a pressure difference is wanted, `1.5 psig` is a gauge pressure"));
}

TEST(QuantityMessages, DegreesWithoutTheirSign) {
    EXPECT_THAT(only_complaint(with("\"20 degC\"", "\"20 C\"")), HasSubstr("write degC for degrees"));
}

}  // namespace
}  // namespace oxfade
