// Dates in the place of times, and what is said of them.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/scenario_text.hpp"

namespace oxfade {
namespace {

using sample::only_complaint;
using testing::HasSubstr;

/// The sample with a start, and an action at a moment.
std::string dated(const std::string& start, const std::string& at) {
    return sample::with("duration =", "start = " + start + "\nduration =",
                        sample::with_added("[[action]]\ndo = \"outage\"\nat = " + at + "\n"));
}

double time_of(const std::string& text) { return sample::read(text).plant.actions.at(0).at; }

TEST(Dates, CountFromTheStart) {
    EXPECT_DOUBLE_EQ(time_of(dated("\"2026-03-02T08:00\"", "\"2026-03-03T20:00\"")), 129'600.0);
    EXPECT_DOUBLE_EQ(time_of(dated("\"2026-03-02\"", "\"2026-03-03 06:30\"")), 109'800.0);
    EXPECT_DOUBLE_EQ(time_of(dated("2026-03-02T08:00:00", "2026-03-03T20:00:00")),
                     129'600.0);  // as TOML has them
    EXPECT_DOUBLE_EQ(time_of(dated("2026-03-02", "\"36 h\"")), 129'600.0);
    EXPECT_DOUBLE_EQ(time_of(dated("2026-03-02", "\"1 d 12 h\"")), 129'600.0);
    EXPECT_EQ(sample::read(dated("2026-03-02", "\"36 h\"")).plant.start, "2026-03-02T00:00:00");
}

TEST(Dates, OfVents) {
    const auto text = sample::with(
        "duration =", "start = 2026-03-02\nduration =",
        sample::with("diameter = \"0.03 in\"", "diameter = \"0.03 in\"\nopen = { until = \"2026-03-04\" }"));
    const auto policy = std::get<plant::OpenUntil>(sample::read(text).plant.risers[0].vents[0].policy);
    EXPECT_DOUBLE_EQ(policy.time, 172'800.0);
}

TEST(DateMessages, WithoutAStart) {
    EXPECT_THAT(
        only_complaint(sample::with_added("[[action]]\ndo = \"outage\"\nat = \"2026-03-03\"\n")),
        HasSubstr("action.0.at: `2026-03-03` is a date, and the file does not say when the run starts"));
}

TEST(DateMessages, NoSuchDate) {
    EXPECT_THAT(only_complaint(dated("\"2026-03-02\"", "\"2026-02-30\"")),
                HasSubstr("action.0.at: `2026-02-30` is not a date and time"));
    EXPECT_THAT(only_complaint(sample::with("duration =", "start = \"2 March 2026\"\nduration =")),
                HasSubstr("start: is not a date and time (given: \"2 March 2026\"); a local date such as "
                          "2026-03-02T08:00, without an offset"));
    EXPECT_THAT(only_complaint(sample::with("duration =", "start = 12\nduration =")),
                HasSubstr("start: a bare number stands here"));
}

TEST(DateMessages, BeforeTheStartOrOnlyAClock) {
    EXPECT_THAT(only_complaint(dated("2026-03-02", "\"2026-03-01\"")),
                HasSubstr("`2026-03-01` is before the start of the run, 2026-03-02 00:00"));
    EXPECT_THAT(only_complaint(dated("2026-03-02", "\"10:30\"")),
                HasSubstr("`10:30` may be a time of day or the time since the start"));
}

}  // namespace
}  // namespace oxfade
