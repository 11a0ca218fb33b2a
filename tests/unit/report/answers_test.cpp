#include "report/answers.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "oxfade/report/json.hpp"
#include "oxfade/report/text.hpp"
#include "report/variations.hpp"
#include "sample_outcome.hpp"

namespace oxfade::report {
namespace {

using detail::Json;
using outcome::Variation;
using plant::TargetAt;
using testing::HasSubstr;
using testing::Not;

constexpr double hour = 3600.0;

/// Vents read the target on day 2, the average is there on day 9, every part on day 40.
outcome::Outcome tree() {
    outcome::Outcome outcome = test::sample_outcome();
    outcome::RiserOutcome& north = outcome.risers[0];
    north.time_at_readings = 2.0 * test::day;
    north.time_of_average = 9.0 * test::day;
    north.time_everywhere = north.time_to_target = 40.0 * test::day;
    north.space_error_of_time = 7.0 * hour;
    north.space_error_of_oxygen = 2e-4;
    return outcome;
}

std::string text_of(const outcome::Outcome& outcome) {
    const plant::Plant plant = test::sample_plant();
    return to_text(plant, outcome, units_of(plant, System::us));
}

Json json_of(const outcome::Outcome& outcome) {
    return Json::parse(to_json(outcome, units_of(test::sample_plant(), System::us)));
}

TEST(Answers, StandOnTheFirstScreen) {
    const std::string text = text_of(tree());
    EXPECT_THAT(text, HasSubstr("Target met      in every part after 40 d (day 40) (cells: ±7 h)"));
    EXPECT_THAT(text, HasSubstr("    at vents      after 2 d (day 2)"));
    EXPECT_THAT(text, HasSubstr("    on average    after 9 d (day 9)"));
}

TEST(Answers, SayWhatTheTargetAsksFor) {
    outcome::Outcome outcome = tree();
    outcome.target_at = TargetAt::readings;
    for (auto& riser : outcome.risers) riser.time_to_target = riser.time_at_readings;
    outcome.risers[0].time_everywhere.reset();
    const std::string text = text_of(outcome);
    EXPECT_THAT(text, HasSubstr("the target is met at all vents and sampling points 2 d after the start"));
    EXPECT_THAT(text, HasSubstr("Not every part of the piping is there"));
    EXPECT_THAT(text, HasSubstr("    every part    not met at the end"));
    EXPECT_EQ(json_of(outcome).at("target_at"), "readings");
}

TEST(Answers, SayWhatIsReadWhereItIsNotMet) {
    outcome::Outcome outcome = tree();
    outcome::RiserOutcome& north = outcome.risers[0];
    north.time_to_target.reset();
    north.time_everywhere.reset();
    north.time_of_average.reset();
    north.time_at_readings.reset();
    north.readings.push_back({"sample 2", false, "far", 1, 0.06, {}});
    north.average_oxygen = 0.05;
    const std::string text = text_of(outcome);
    EXPECT_THAT(text, HasSubstr("    at readings   not met: 'sample 2' reads 94 % nitrogen at the end"));
    EXPECT_THAT(text, HasSubstr("    on average    not met: 95 % nitrogen at the end"));
    EXPECT_THAT(text, HasSubstr("(cells: ±0.02 %)"));
    north.readings.clear();
    EXPECT_THAT(text_of(outcome), HasSubstr("no vent and no sampling point to read"));
}

TEST(Answers, AreInJson) {
    outcome::Outcome outcome = tree();
    outcome.resolution = {340, 2, 680};
    const Json json = json_of(outcome);
    EXPECT_EQ(json.at("target_at"), "everywhere");
    EXPECT_EQ(json.at("resolution"), Json::parse(R"({"cells":340,"pipes_as_given":2,"compared_with":680})"));
    const Json& north = json.at("risers").at(0);
    EXPECT_EQ(north.at("time_at_readings_s"), 2.0 * test::day);
    EXPECT_EQ(north.at("time_of_average_s"), 9.0 * test::day);
    EXPECT_EQ(north.at("time_everywhere_s"), 40.0 * test::day);
    EXPECT_EQ(north.at("space_error_of_time_s"), 7.0 * hour);
    EXPECT_EQ(north.at("space_error_of_oxygen"), 2e-4);
    EXPECT_EQ(north.at("readings").at(0).at("kind"), "vent");
    EXPECT_EQ(north.at("readings").at(0).at("cell"), 3);
    EXPECT_EQ(north.at("final").at("pipes").at(1).at("cell_ends"), Json::parse("[0.25, 0.5, 1.0]"));
    EXPECT_TRUE(json.at("risers").at(1).at("space_error_of_time_s").is_null());
}

TEST(Answers, SayHowPipesWereCut) {
    EXPECT_EQ(detail::resolution_text({}), "");
    EXPECT_THAT(detail::resolution_text({340, 0, 680}), HasSubstr("a second run with 680"));
    EXPECT_THAT(detail::resolution_text({340, 1, 0}), HasSubstr("(1 pipe as the file says)"));
    EXPECT_THAT(detail::resolution_text({340, 1, 0}), HasSubstr("was not checked"));
}

TEST(Answers, NameAPlaceInAPipe) {
    const plant::Plant plant = test::sample_plant();
    const Units units = units_of(plant, System::si);
    outcome::PipeOutcome far = test::sample_riser("North").pipes[1];
    EXPECT_EQ(detail::cell_place(plant.risers[0], far, 0, units), "'far', near end");
    EXPECT_EQ(detail::cell_place(plant.risers[0], far, 1, units), "'far', 33.8 m from its near end");
    EXPECT_EQ(detail::cell_place(plant.risers[0], far, 2, units), "'far', far end");
    far.copies = 22;
    EXPECT_EQ(detail::cell_place(plant.risers[0], far, 2, units), "'far' (22 equal), far end");
}

outcome::Outcome with_leaks(std::optional<double> at_entry, std::optional<double> at_far_ends) {
    outcome::Outcome outcome = tree();
    const auto south = outcome.risers[1].time_to_target;
    outcome.variations.push_back({Variation::What::leaks_at_entry, 0.0, {at_entry, south}});
    outcome.variations.push_back({Variation::What::leaks_at_far_ends, 0.0, {at_far_ends, south}});
    outcome.variations.push_back({Variation::What::mouth, 4.0, {38.0 * test::day, south}});
    outcome.variations.push_back({Variation::What::warm_end, -2.0, {41.0 * test::day, south}});
    return outcome;
}

TEST(Variations, AreOneShortBlock) {
    const std::string text = text_of(with_leaks(41.0 * test::day, 39.0 * test::day));
    EXPECT_THAT(text, HasSubstr("-- What nobody knows exactly"));
    EXPECT_THAT(text, HasSubstr("  as given        North 40 d; South 1 d 12.2 h"));
    EXPECT_THAT(text, HasSubstr("  leaks at entry  North 41 d; South 1 d 12.2 h"));
    EXPECT_THAT(text, HasSubstr("  mouth 4 bores   North 38 d"));
    EXPECT_THAT(text, HasSubstr("  ends -3.6 degF  North 41 d"));
    EXPECT_THAT(text, Not(HasSubstr("Where the leaks are decides")));
    EXPECT_THAT(text_of(tree()), Not(HasSubstr("What nobody knows")));
}

TEST(Variations, SayWhenThePlaceOfLeaksDecides) {
    EXPECT_THAT(text_of(with_leaks(std::nullopt, 39.0 * test::day)),
                HasSubstr("Where the leaks are decides the answer for North."));
    EXPECT_THAT(text_of(with_leaks(60.0 * test::day, 39.0 * test::day)),
                HasSubstr("decides the answer for North"));
    const Json json = json_of(with_leaks(std::nullopt, 39.0 * test::day));
    EXPECT_EQ(json.at("risers").at(0).at("leak_place_decides"), true);
    EXPECT_EQ(json.at("risers").at(1).at("leak_place_decides"), false);
    EXPECT_EQ(json.at("variations").at(0).at("what"), "leaks-at-entry");
    EXPECT_TRUE(json.at("variations").at(0).at("value").is_null());
    EXPECT_TRUE(json.at("variations").at(0).at("time_to_target_s").at(0).is_null());
    EXPECT_EQ(json.at("variations").at(3).at("value"), -2.0);
    EXPECT_TRUE(json_of(tree()).at("risers").at(0).at("leak_place_decides").is_null());
}

TEST(Variations, OfManySystemsAreARange) {
    outcome::Outcome outcome = with_leaks(std::nullopt, 39.0 * test::day);
    for (int k = 0; k < 6; ++k) {
        outcome.risers.push_back(test::sample_riser("System " + std::to_string(k)));
        outcome.risers.back().time_to_target = (k + 2.0) * test::day;
        for (Variation& variation : outcome.variations)
            variation.time_to_target.push_back((k + 2.0) * test::day);
    }
    const auto lines = detail::variation_lines(outcome, Units{});
    EXPECT_EQ(lines[1].times, "1 d 12.2 h to 7 d, System 5 last; 1 of 8 systems not met");
}

}  // namespace
}  // namespace oxfade::report
