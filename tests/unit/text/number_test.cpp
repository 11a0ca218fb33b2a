#include "text/number.hpp"

#include <gtest/gtest.h>

namespace oxfade::text {
namespace {

TEST(LeadingNumber, ReadsDecimalsAndWhatFollows) {
    const auto number = leading_number("  -1.5e2 kPa ");
    EXPECT_EQ(number.state, NumberState::good);
    EXPECT_DOUBLE_EQ(number.value, -150.0);
    EXPECT_EQ(number.rest, "kPa");
}

TEST(LeadingNumber, ReadsFractions) {
    EXPECT_DOUBLE_EQ(leading_number("1/8 in").value, 0.125);
    EXPECT_DOUBLE_EQ(leading_number("1 1/4 in").value, 1.25);
    EXPECT_DOUBLE_EQ(leading_number("1-1/4").value, 1.25);
    EXPECT_DOUBLE_EQ(leading_number("-2 1/2").value, -2.5);
    EXPECT_EQ(leading_number("3/4\"").rest, "\"");
}

TEST(LeadingNumber, LeavesOtherSlashesToTheUnit) { EXPECT_EQ(leading_number("5 /s").rest, "/s"); }

TEST(LeadingNumber, TellsWhyThereIsNone) {
    EXPECT_EQ(leading_number("").state, NumberState::missing);
    EXPECT_EQ(leading_number("psi").state, NumberState::missing);
    EXPECT_EQ(leading_number("+-3").state, NumberState::missing);
    EXPECT_EQ(leading_number("- 3").state, NumberState::missing);
    EXPECT_EQ(leading_number("1,5 m").state, NumberState::decimal_comma);
    EXPECT_EQ(leading_number("1e999 m").state, NumberState::out_of_range);
    EXPECT_EQ(leading_number("nan m").state, NumberState::not_finite);
    EXPECT_EQ(leading_number("-inf m").state, NumberState::not_finite);
    EXPECT_EQ(leading_number("1/0 m").state, NumberState::not_finite);
}

}  // namespace
}  // namespace oxfade::text
