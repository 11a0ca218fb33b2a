#include "oxfade/report/csv.hpp"

#include <gtest/gtest.h>

#include <limits>
#include <sstream>

#include "sample_outcome.hpp"

namespace oxfade::report {
namespace {

outcome::Outcome two_moments() {
    outcome::Outcome outcome;
    outcome.nitrogen_purity = 1.0;
    outcome::RiserOutcome riser;
    riser.name = "North, \"old\"";
    riser.pipes.push_back({"main", {0.1, 0.2}, {std::nullopt, std::nullopt}});
    outcome.risers.push_back(riser);
    outcome.history.times = {0.0, 60.5};
    outcome.history.pressure = {1, {101325.0, 2e5}};
    outcome.history.oxygen = {2, {0.209476, 0.209476, 0.0, std::numeric_limits<double>::quiet_NaN()}};
    return outcome;
}

TEST(ReportCsv, WritesOneLineForEachMomentAndCompartment) {
    EXPECT_EQ(to_csv(two_moments()),
              "time_s,riser,pipe,cell,pressure_pa,oxygen,nitrogen\n"
              "0,\"North, \"\"old\"\"\",main,1,101325,0.209476,0.78084\n"
              "0,\"North, \"\"old\"\"\",main,2,101325,0.209476,0.78084\n"
              "60.5,\"North, \"\"old\"\"\",main,1,200000,0,1\n"
              "60.5,\"North, \"\"old\"\"\",main,2,200000,,\n");
}

TEST(ReportCsv, GivesEachZoneItsOwnPressure) {
    outcome::Outcome outcome = two_moments();
    outcome.history.zone_of = {0, 1};
    outcome.history.zone_pressure = {2, {101325.0, 101300.0, 2e5, 1.9e5}};
    const std::string text = to_csv(outcome);
    EXPECT_NE(text.find("60.5,\"North, \"\"old\"\"\",main,1,200000,"), std::string::npos) << text;
    EXPECT_NE(text.find("60.5,\"North, \"\"old\"\"\",main,2,190000,"), std::string::npos) << text;
}

TEST(ReportCsv, HasAsManyLinesAsTheHistoryHasValues) {
    std::istringstream lines(to_csv(test::sample_outcome()));
    std::size_t count = 0;
    for (std::string line; std::getline(lines, line);) ++count;
    EXPECT_EQ(count, 1U + 721U * 8U);
}

TEST(ReportCsv, QuotesOnlyWhatNeedsIt) {
    EXPECT_EQ(csv_field("far end"), "far end");
    EXPECT_EQ(csv_field("a,b"), "\"a,b\"");
    EXPECT_EQ(csv_field("2\" main"), "\"2\"\" main\"");
    EXPECT_EQ(csv_field("a\nb"), "\"a\nb\"");
}

TEST(ReportCsv, DerivesNitrogenFromOxygen) {
    EXPECT_DOUBLE_EQ(nitrogen_in_blend(0.209476, 0.98), 0.78084);
    EXPECT_DOUBLE_EQ(nitrogen_in_blend(0.02, 0.98), 0.98);
    EXPECT_DOUBLE_EQ(nitrogen_in_blend((0.209476 + 0.02) / 2.0, 0.98), (0.78084 + 0.98) / 2.0);
    EXPECT_DOUBLE_EQ(nitrogen_in_blend(0.209476, 1.0 - 0.209476), 0.78084);  // a plain compressor
}

}  // namespace
}  // namespace oxfade::report
