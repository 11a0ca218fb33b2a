#include "oxfade/study/remedies.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "oxfade/engine/predict.hpp"
#include "oxfade/outcome/duty.hpp"
#include "study/vented_lines.hpp"
#include "support/plants.hpp"

namespace oxfade::study {
namespace {

using outcome::Remedy;

plant::Pipe line(const std::string& name, double length, int count = 1) {
    plant::Pipe pipe = sample::on(sample::tube(name, 0.04, length), "main");
    pipe.cells.reset();
    pipe.count = count;
    return pipe;
}

/// A main with a vent at the end of one line, and three lines without.
plant::Plant tree(double nitrogen_flow = 2e-4) {
    plant::Riser riser = sample::full_riser({sample::tube("main", 0.1, 20.0, 4), line("line 1", 9.0),
                                             line("line 2", 8.0), line("line 3", 10.0), line("line 4", 9.0)});
    riser.vents = {sample::vent("line 4", 8e-4)};
    plant::Plant plant = sample::plant_of(riser, sample::generator(0.99), 4.0 * sample::day);
    auto& source = std::get<plant::Generator>(plant.source);
    source.nitrogen_flow = nitrogen_flow;
    source.air_flow = 5.0 * nitrogen_flow;
    plant.target = 0.98;
    plant.mixing = {};
    return plant;
}

/// What a run of it might have said.
outcome::Outcome missed(const plant::Plant& plant) {
    outcome::Outcome outcome;
    for (const plant::Riser& riser : plant.risers) {
        outcome::RiserOutcome out;
        out.name = riser.name;
        out.fill_time = 60.0;
        out.not_met_because = outcome::Code::run_too_short;
        for (const plant::Pipe& pipe : riser.pipes) {
            out.pipes.push_back({pipe.name, {0.05}, {std::nullopt}});
            if (pipe.name == "line 3") out.pipes.back().oxygen[0] = 0.15;
            if (pipe.name == "line 2") out.pipes.back().oxygen[0] = 0.10;
        }
        outcome.risers.push_back(out);
    }
    return outcome;
}

std::vector<std::string> vented(const plant::Riser& riser) {
    std::vector<std::string> at;
    for (const plant::Vent& vent : riser.vents) at.push_back(vent.at);
    std::sort(at.begin(), at.end());
    return at;
}

using Names = std::vector<std::string>;

TEST(VentedLines, AreThoseThatHaveNone) {
    const plant::Plant plant = tree();
    EXPECT_EQ(line_count(plant.risers[0], missed(plant).risers[0]), 3U);
}

TEST(VentedLines, AreTheSlowestWhereOnlyAFewGetAVent) {
    plant::Plant plant = tree();
    vent_lines(plant.risers[0], missed(plant).risers[0], 1, 5e-4);
    EXPECT_EQ(vented(plant.risers[0]), (Names{"line 3", "line 4"}));
}

TEST(VentedLines, AreEverySecondWhereHalfGetOne) {
    plant::Plant plant = tree();
    vent_lines(plant.risers[0], missed(plant).risers[0], 2, 5e-4);
    EXPECT_EQ(vented(plant.risers[0]), (Names{"line 1", "line 3", "line 4"}));
}

TEST(VentedLines, OfACountAreSplitOff) {
    plant::Plant plant = tree();
    plant.risers[0].pipes = {plant.risers[0].pipes[0], line("lines", 9.0, 20), line("line 4", 9.0)};
    plant.risers[0].pipes.push_back(sample::on(sample::tube("ends", 0.03, 3.0), "lines"));
    const auto outcome = missed(plant);
    EXPECT_EQ(line_count(plant.risers[0], outcome.risers[0]), 20U);
    const double volume = plant.risers[0].volume();
    vent_lines(plant.risers[0], outcome.risers[0], 5, 5e-4);
    const plant::Riser& riser = plant.risers[0];
    EXPECT_EQ(vented(riser), (Names{"ends with vent", "line 4"}));
    EXPECT_EQ(riser.pipes[1].count, 15);
    EXPECT_EQ(riser.pipes[*riser.pipe_index("lines with vent")].count, 5);
    EXPECT_NEAR(riser.volume(), volume, 1e-12);
    plant::require_valid(plant);
}

TEST(VentedLines, OfACountWithSomethingOnItAreVentedAllOrNot) {
    plant::Plant plant = tree();
    plant.risers[0].pipes = {plant.risers[0].pipes[0], line("lines", 9.0, 20), line("line 4", 9.0)};
    plant.risers[0].leaks = {sample::hole("lines", 1e-5)};
    vent_lines(plant.risers[0], missed(plant).risers[0], 5, 5e-4);
    EXPECT_EQ(vented(plant.risers[0]), (Names{"line 4", "lines"}));
    EXPECT_EQ(plant.risers[0].pipes[1].count, 20);
}

TEST(Remedies, AreNoneWhereTheTargetIsMetOrSomethingElseIsWrong) {
    const plant::Plant plant = tree();
    outcome::Outcome outcome = missed(plant);
    outcome.risers[0].not_met_because = outcome::Code::target_above_purity;
    EXPECT_TRUE(remedies(plant, outcome).empty());
    outcome.risers[0].time_to_target = 5.0;
    EXPECT_TRUE(remedies(plant, outcome).empty());
}

TEST(Remedies, AreVentsCyclesAndTimeWithTheDaysOfEach) {
    const plant::Plant plant = tree(1e-3);
    const outcome::Outcome run = engine::predict(plant);
    ASSERT_FALSE(run.risers[0].time_to_target.has_value());
    const auto list = remedies(plant, run);
    ASSERT_EQ(list.size(), 6U) << static_cast<int>(
        run.risers[0].not_met_because.value_or(outcome::Code::run_too_short));
    EXPECT_EQ(list[0].kind, Remedy::Kind::vents);
    EXPECT_EQ(list[0].changes.at(0).lines, 3U);
    EXPECT_EQ(list[0].changes.at(0).all_lines, 3U);
    ASSERT_TRUE(list[0].time_to_target.at(0).has_value());
    EXPECT_LT(*list[0].time_to_target[0], plant.duration);
    EXPECT_LT(*list[0].demand_share, 1.0);
    EXPECT_EQ(list[1].changes.at(0).lines, 2U);
    EXPECT_EQ(list[2].changes.at(0).lines, 1U);
    EXPECT_EQ(list[3].kind, Remedy::Kind::cycles);
    EXPECT_EQ(list[4].kind, Remedy::Kind::cycles);
    EXPECT_LT(list[4].changes[0].low, list[3].changes[0].low);
    EXPECT_FALSE(list[3].on_air);
    EXPECT_EQ(list[5].kind, Remedy::Kind::longer);
    EXPECT_DOUBLE_EQ(list[5].duration, 4.0 * plant.duration);
    EXPECT_GT(list[5].time_to_target[0].value_or(plant.duration), plant.duration * 0.9);
}

TEST(Remedies, KeepVentsWithinWhatTheSeparatorMakes) {
    const plant::Plant plant = tree(2.2e-5);
    outcome::Outcome run = missed(plant);
    const auto list = remedies(plant, run);
    ASSERT_FALSE(list.empty());
    const Remedy& all = list[0];
    if (all.too_large) {
        EXPECT_TRUE(all.time_to_target.empty());
    } else {
        EXPECT_LT(all.changes[0].orifice, 8e-4);
        EXPECT_LE(*all.demand_share, 0.9 + 1e-9);
        const auto duty = outcome::duty_of(with_remedy(plant, run, all));
        EXPECT_LE(duty.demand, 0.9 * *duty.separator * (1.0 + 1e-9));
    }
    const auto none = remedies(tree(1e-6), run);
    EXPECT_TRUE(none[0].too_large);
}

}  // namespace
}  // namespace oxfade::study
