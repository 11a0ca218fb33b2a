#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "oxfade/outcome/findings.hpp"
#include "oxfade/report/text.hpp"
#include "support/plants.hpp"

namespace oxfade::outcome {
namespace {

using sample::day;
using testing::HasSubstr;

plant::Plant tree(int lines) {
    plant::Riser riser = sample::full_riser({sample::tube("main", 0.1, 20.0)});
    for (int k = 1; k <= lines; ++k)
        riser.pipes.push_back(
            sample::on(sample::tube("branch line " + std::to_string(k), 0.04, 9.0), "main"));
    riser.vents = {sample::vent("main", 1e-3)};
    return sample::plant_of(riser, sample::cylinders(0.99), 100.0 * day);
}

Outcome run_of(const plant::Plant& plant) {
    Outcome run;
    run.duration = plant.duration;
    run.target = 0.98;
    RiserOutcome riser;
    riser.name = "riser";
    riser.fill_start = riser.fill_time = 0.0;
    riser.fill_met = true;
    riser.limiting_pipe = "branch line 3";
    riser.readings = {{"vent at main", true, "main", 0, 0.011, 2.0 * day}};
    riser.average_oxygen = 0.05;
    for (const plant::Pipe& pipe : plant.risers[0].pipes)
        riser.pipes.push_back({pipe.name, {0.08}, {std::nullopt}});
    run.risers.push_back(riser);
    return run;
}

std::vector<Message> of_code(const std::vector<Message>& all, Code code) {
    std::vector<Message> some;
    std::copy_if(all.begin(), all.end(), std::back_inserter(some),
                 [&](const Message& m) { return m.code == code; });
    return some;
}

TEST(TargetFindings, WarnWhereVentsReadTheTargetLongBeforeEveryPartIsThere) {
    const plant::Plant plant = tree(3);
    Outcome run = run_of(plant);
    RiserOutcome& riser = run.risers[0];
    riser.time_at_readings = 2.0 * day;
    riser.time_everywhere = riser.time_to_target = 40.0 * day;
    const auto found = of_code(findings_after(plant, run), Code::readings_mislead);
    ASSERT_EQ(found.size(), 1U);
    EXPECT_EQ(found[0].level, Level::warning);
    const std::string line = report::message_line(found[0], {});
    EXPECT_THAT(
        line,
        HasSubstr("read 98 % nitrogen after 2 d, but every part of the piping is there only after 40 d"));
    EXPECT_THAT(line, HasSubstr("'branch line 3'"));
    riser.time_everywhere = 2.1 * day;
    EXPECT_TRUE(of_code(findings_after(plant, run), Code::readings_mislead).empty());
    riser.time_at_readings.reset();
    riser.time_everywhere = 40.0 * day;
    EXPECT_TRUE(of_code(findings_after(plant, run), Code::readings_mislead).empty());
}

TEST(TargetFindings, WarnWhereVentsReadTheTargetAndTheRestNeverMeetsIt) {
    const plant::Plant plant = tree(3);
    Outcome run = run_of(plant);
    run.target_at = plant::TargetAt::readings;
    run.risers[0].time_at_readings = run.risers[0].time_to_target = 2.0 * day;
    const auto found = of_code(findings_after(plant, run), Code::readings_mislead);
    ASSERT_EQ(found.size(), 1U);
    EXPECT_THAT(report::message_line(found[0], {}),
                HasSubstr("the worst part of the piping is still at 92 % after 100 d"));
}

TEST(TargetFindings, SayWhatIsShortOfWhatTheTargetAsksFor) {
    const plant::Plant plant = tree(3);
    Outcome run = run_of(plant);
    RiserOutcome& riser = run.risers[0];
    riser.not_met_because = Code::run_too_short;
    const auto text = [&] {
        const auto found = of_code(findings_after(plant, run), Code::run_too_short);
        return found.size() == 1 ? report::message_line(found[0], {}) : std::string();
    };
    EXPECT_THAT(text(), HasSubstr("After 100 d the worst cell, in 'branch line 3', is at 92 % nitrogen"));
    run.target_at = plant::TargetAt::average;
    EXPECT_THAT(text(), HasSubstr("After 100 d the average of the piping is at 95 % nitrogen"));
    run.target_at = plant::TargetAt::readings;
    riser.readings[0].oxygen = 0.03;
    EXPECT_THAT(text(), HasSubstr("an analyser at 'vent at main' reads 97 % nitrogen; the target is 98 %"));
}

TEST(TargetFindings, OfTwentyTwoEqualLinesAreOneLine) {
    const auto found = of_code(findings_before(tree(22)), Code::no_way_out);
    ASSERT_EQ(found.size(), 1U);
    EXPECT_EQ(found[0].where, "riser / branch lines 1 to 22");
    EXPECT_EQ(found[0].places.size(), 22U);
    plant::Plant plant = tree(1);
    plant.risers[0].pipes[1].count = 22;
    EXPECT_EQ(of_code(findings_before(plant), Code::no_way_out).at(0).where,
              "riser / branch line 1 (22 equal)");
}

}  // namespace
}  // namespace oxfade::outcome
