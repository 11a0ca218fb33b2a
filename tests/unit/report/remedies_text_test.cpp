#include "report/remedies_text.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "oxfade/report/json.hpp"
#include "oxfade/report/text.hpp"
#include "sample_outcome.hpp"

namespace oxfade::report {
namespace {

using detail::Json;
using outcome::Remedy;
using testing::HasSubstr;
using testing::Not;

outcome::Outcome missed() {
    outcome::Outcome outcome = test::sample_outcome();
    for (auto& riser : outcome.risers) riser.time_to_target.reset();
    Remedy vents;
    vents.kind = Remedy::Kind::vents;
    vents.changes = {{0, 22, 22, 8e-4, 0.0, 0.0, {}}, {1, 22, 22, 8e-4, 0.0, 0.0, {}}};
    vents.duration = 84.0 * test::day;
    vents.demand_share = 0.84;
    vents.time_to_target = {3.0 * test::day, 4.0 * test::day};
    Remedy cycles;
    cycles.kind = Remedy::Kind::cycles;
    cycles.changes = {{0, 0, 0, 6.35e-3, 2e5, 3.08e5, 42}};
    cycles.duration = 84.0 * test::day;
    cycles.time_to_target = {15.0 * test::day, std::nullopt};
    Remedy longer;
    longer.changes = {{0, 0, 0, 0.0, 0.0, 0.0, {}}, {1, 0, 0, 0.0, 0.0, 0.0, {}}};
    longer.duration = 84.0 * test::day;
    longer.time_to_target = {std::nullopt, std::nullopt};
    outcome.remedies = {vents, cycles, longer};
    return outcome;
}

std::string text_of(const outcome::Outcome& outcome) {
    const plant::Plant plant = test::sample_plant();
    return to_text(plant, outcome, units_of(plant, System::us));
}

TEST(RemediesText, SaysWhatWouldHelpAndTheDaysOfEach) {
    const std::string text = text_of(missed());
    EXPECT_THAT(text, HasSubstr("-- What would help"));
    EXPECT_THAT(text,
                HasSubstr("Vents of 0.0315 in at the far ends of all 22 branch lines of North and South:"));
    EXPECT_THAT(text, HasSubstr("North 3 d; South 4 d; all vents and leaks then take 84 % of what the"));
    EXPECT_THAT(text, HasSubstr("Pressure cycles of North between 30 psig and 14.3 psig, through a vent of"));
    EXPECT_THAT(text, HasSubstr("15 d (42 cycles)"));
    EXPECT_THAT(text, HasSubstr("More time for North and South:\n      not met within 84 d"));
    EXPECT_THAT(text, HasSubstr("trip pressure"));
    EXPECT_THAT(text_of(test::sample_outcome()), Not(HasSubstr("What would help")));
}

TEST(RemediesText, SaysWhatWouldNotHelp) {
    outcome::Outcome outcome = missed();
    outcome.remedies[0].too_large = true;
    outcome.remedies[0].time_to_target.clear();
    outcome.remedies[1].on_air = true;
    const std::string text = text_of(outcome);
    EXPECT_THAT(text, HasSubstr("no: even the smallest vents would take more than the separator makes"));
    EXPECT_THAT(text, HasSubstr("no: the source would fall back on air"));
}

TEST(RemediesText, IsInJson) {
    const Json json = Json::parse(to_json(missed(), units_of(test::sample_plant(), System::us)));
    const Json& vents = json.at("remedies").at(0);
    EXPECT_EQ(vents.at("kind"), "vents");
    EXPECT_EQ(vents.at("demand_over_separator"), 0.84);
    EXPECT_EQ(vents.at("risers").at(1).at("time_to_target_s"), 4.0 * test::day);
    EXPECT_EQ(vents.at("risers").at(0).at("lines"), 22);
    EXPECT_EQ(json.at("remedies").at(1).at("risers").at(0).at("cycles"), 42);
    EXPECT_TRUE(json.at("remedies").at(2).at("risers").at(0).at("time_to_target_s").is_null());
    EXPECT_FALSE(Json::parse(to_json(test::sample_outcome(), {})).contains("remedies"));
}

}  // namespace
}  // namespace oxfade::report
