#include "text/date.hpp"

#include <gtest/gtest.h>

namespace oxfade::text {
namespace {

TEST(ParseDate, TakesIsoDates) {
    EXPECT_EQ(parse_date("1970-01-01"), 0.0);
    EXPECT_EQ(parse_date("1970-01-02T01:00"), 90'000.0);
    EXPECT_EQ(parse_date(" 1970-01-02 01:00:30.5 "), 90'030.5);
    EXPECT_EQ(parse_date("2026-03-02T08:00:00"), 1'772'438'400.0);
    EXPECT_EQ(parse_date("1969-12-31"), -86'400.0);
}

TEST(ParseDate, RefusesOthers) {
    for (const char* text :
         {"", "2026", "2026-3-2", "2026-02-29", "2026-13-01", "2026-01-00", "2026-01-01T", "2026-01-01T24:00",
          "2026-01-01T10:60", "2026-01-01T10:00:60", "2026-01-01T10:00Z", "2026-01-01T10:00+01:00",
          "2026-01-01T10", "2026-01-01T10:00:", "2026-01-01x", "1500-01-01", "02.03.2026"}) {
        EXPECT_FALSE(parse_date(text).has_value()) << text;
    }
}

TEST(DateText, SaysTheSame) {
    EXPECT_EQ(date_text(1'772'438'400.0), "2026-03-02 08:00");
    EXPECT_EQ(date_text(1'772'438'407.0), "2026-03-02 08:00:07");
    EXPECT_EQ(iso_date(1'772'438'400.0), "2026-03-02T08:00:00");
    EXPECT_EQ(iso_date(-1.0), "1969-12-31T23:59:59");
}

TEST(ParseClock, CountsFromTheRight) {
    EXPECT_EQ(parse_clock("10:45")->minutes, 10.0);
    EXPECT_EQ(parse_clock("10:45")->seconds, 45.0);
    EXPECT_FALSE(parse_clock("10:45")->has_hours);
    EXPECT_EQ(parse_clock("120:00:30.5")->hours, 120.0);
    EXPECT_EQ(parse_clock("120:00:30.5")->seconds, 30.5);
    for (const char* text : {"", "10", ":10", "10:", "10:5", "10:45:30:00", "10:4x", "-1:30", "1:1e1"}) {
        EXPECT_FALSE(parse_clock(text).has_value()) << text;
    }
}

}  // namespace
}  // namespace oxfade::text
