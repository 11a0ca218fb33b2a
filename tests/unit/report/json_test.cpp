#include "oxfade/report/json.hpp"

#include <gtest/gtest.h>

#include <limits>
#include <nlohmann/json.hpp>

#include "oxfade/version.hpp"
#include "sample_outcome.hpp"

namespace oxfade::report {
namespace {

using nlohmann::json;

Units units() { return units_of(test::sample_plant(), System::us); }
json parsed(const outcome::Outcome& outcome) { return json::parse(to_json(outcome, units())); }

TEST(ReportJson, HoldsTheContractsTopLevel) {
    const json result = parsed(test::sample_outcome());
    EXPECT_EQ(result.at("oxfade"), version);
    EXPECT_EQ(result.at("format"), 1);
    EXPECT_EQ(result.at("title"), "Two systems over a store");
    EXPECT_DOUBLE_EQ(result.at("duration_s"), 1814400.0);
    EXPECT_DOUBLE_EQ(result.at("target_purity"), 0.975);
    EXPECT_EQ(result.at("risers").size(), 2U);
    EXPECT_DOUBLE_EQ(result.at("balance").at("worst_relative"), 1.2e-13);
    EXPECT_TRUE(result.at("messages").empty());
}

TEST(ReportJson, HoldsTheContractsRiser) {
    const json riser = parsed(test::sample_outcome()).at("risers").at(0);
    EXPECT_EQ(riser.at("name"), "North");
    EXPECT_DOUBLE_EQ(riser.at("fill_time_s"), 1490.5);
    EXPECT_DOUBLE_EQ(riser.at("fill_limit_s"), 1800.0);
    EXPECT_EQ(riser.at("fill_met"), true);
    EXPECT_DOUBLE_EQ(riser.at("time_to_target_s"), 130307.0);
    EXPECT_EQ(riser.at("at_target_s"), json::parse("[[130307.0, 1814400.0]]"));
    EXPECT_EQ(riser.at("limiting_pipe"), "far");
    EXPECT_TRUE(riser.at("not_met_because").is_null());
    EXPECT_DOUBLE_EQ(riser.at("final").at("pressure_pa"), 308168.0);
    const json far = riser.at("final").at("pipes").at(1);
    EXPECT_EQ(far.at("name"), "far");
    EXPECT_EQ(far.at("oxygen"), json::parse("[0.0102, 0.0103, 0.0105]"));
    EXPECT_EQ(far.at("time_to_target_s"), json::parse("[130201.0, 130250.0, 130307.0]"));
}

TEST(ReportJson, CountsGasAtTheReferenceConditions) {
    const json source = parsed(test::sample_outcome()).at("source");
    EXPECT_DOUBLE_EQ(source.at("running_s"), 223200.0);
    EXPECT_DOUBLE_EQ(source.at("air_s"), 1800.0);
    EXPECT_EQ(source.at("starts"), 88);
    EXPECT_NEAR(source.at("nitrogen_std_m3"), 9000.0 * 8.314462618 * 293.15 / 101325.0, 1e-9);
    EXPECT_DOUBLE_EQ(source.at("energy_kwh"), 248.0);
}

TEST(ReportJson, WritesNullForWhatIsUnknownOrNotFinite) {
    outcome::Outcome outcome = test::sample_outcome();
    outcome.risers[0].time_to_target.reset();
    outcome.risers[0].fill_time.reset();
    outcome.risers[0].pipes[0].oxygen[0] = std::numeric_limits<double>::quiet_NaN();
    outcome.risers[0].pipes[0].time_to_target[0].reset();
    outcome.balance.worst_relative = std::numeric_limits<double>::infinity();
    outcome.source.energy.reset();
    const json result = parsed(outcome);
    EXPECT_TRUE(result.at("risers").at(0).at("time_to_target_s").is_null());
    EXPECT_TRUE(result.at("risers").at(0).at("fill_time_s").is_null());
    EXPECT_TRUE(result.at("risers").at(0).at("final").at("pipes").at(0).at("oxygen").at(0).is_null());
    EXPECT_TRUE(
        result.at("risers").at(0).at("final").at("pipes").at(0).at("time_to_target_s").at(0).is_null());
    EXPECT_TRUE(result.at("balance").at("worst_relative").is_null());
    EXPECT_TRUE(result.at("source").at("energy_kwh").is_null());
}

TEST(ReportJson, NamesCodesAndFillsTexts) {
    outcome::Outcome outcome = test::sample_outcome();
    outcome.risers[1].not_met_because = outcome::Code::target_above_purity;
    outcome.messages.push_back({outcome::Code::target_above_purity,
                                outcome::Level::failure,
                                "target",
                                "at best {0}",
                                {{0.99, outcome::Dimension::fraction}}});
    const json result = parsed(outcome);
    EXPECT_EQ(result.at("risers").at(1).at("not_met_because"), "target-above-purity");
    EXPECT_EQ(result.at("messages").at(0),
              json::parse(R"({"code": "target-above-purity", "level": "failure", "where": "target",
                              "text": "at best 99 %"})"));
}

TEST(ReportJson, ReadsBackToTheSameNumbers) {
    outcome::Outcome outcome = test::sample_outcome();
    outcome.risers[0].fill_time = 0.1 + 0.2;
    EXPECT_EQ(parsed(outcome).at("risers").at(0).at("fill_time_s").get<double>(), 0.1 + 0.2);
}

TEST(ReportJson, MendsNamesThatAreNotUtf8) {
    outcome::Outcome outcome = test::sample_outcome();
    outcome.risers[0].name = "N\xff";
    EXPECT_NO_THROW(parsed(outcome));
}

}  // namespace
}  // namespace oxfade::report
