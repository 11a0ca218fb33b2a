// What must not depend on the settings: output times, the method, the tolerance.
#include <cmath>

#include "support/mesh.hpp"
#include "support/plants.hpp"
#include "support/run.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

/// Plants of different kinds, short enough for an explicit method.
std::vector<plant::Plant> some_plants() {
    std::vector<plant::Plant> plants;
    plants.push_back(purged_vessel(0.98, 25000.0));
    plants.push_back(meshed_plant(0.98, generator(0.98)));
    plants.push_back(meshed_plant(0.99, cylinders(0.99)));
    plant::Plant small = two_pipe_riser(0.05 * inch);
    small.duration = day;
    plants.push_back(small);
    plant::Plant timed = meshed_plant(0.98, generator(0.98));
    timed.risers[0].vents[0].policy = plant::OpenTimed{3000.0, 700.0};
    timed.risers[1].vents[0].policy = plant::OpenUntilTarget{};
    for (auto& riser : timed.risers) riser.initial_pressure.reset();
    plants.push_back(timed);
    plant::Plant cycled = meshed_plant(0.98, cylinders(0.98));
    cycled.risers[0].supply = plant::PressureSwitch{{3e-3, 0.8}, 3e5, 4e5};
    cycled.risers[0].vents[0].policy = plant::OpenBetween{4e5, 3e5};
    plants.push_back(cycled);
    return plants;
}

void expect_close(const outcome::Outcome& a, const outcome::Outcome& b, double relative, int number) {
    for (std::size_t r = 0; r < a.risers.size(); ++r) {
        const auto& one = a.risers[r];
        const auto& other = b.risers[r];
        EXPECT_NEAR(one.final_pressure / other.final_pressure, 1.0, relative) << "plant " << number;
        EXPECT_EQ(one.time_to_target.has_value(), other.time_to_target.has_value()) << "plant " << number;
        if (one.time_to_target && other.time_to_target) {
            EXPECT_NEAR(*one.time_to_target, *other.time_to_target, relative * a.duration)
                << "plant " << number;
        }
        for (std::size_t p = 0; p < one.pipes.size(); ++p) {
            for (std::size_t c = 0; c < one.pipes[p].oxygen.size(); ++c) {
                EXPECT_NEAR(one.pipes[p].oxygen[c] / other.pipes[p].oxygen[c], 1.0, relative)
                    << "plant " << number << ", " << one.name << ", " << one.pipes[p].name << ' ' << c;
            }
        }
    }
    EXPECT_EQ(a.source.starts, b.source.starts) << "plant " << number;
}

TEST(Settings, BothMethodsAgreeAtATightTolerance) {
    int number = 0;
    for (const auto& plant : some_plants()) {
        engine::Options options = tight(1e-9);
        options.skip_cycles = false;  // that has steps of its own
        const auto implicit = run(plant, options);
        options.method = engine::Method::dormand_prince;
        expect_close(implicit, run(plant, options), 1e-6, ++number);
    }
}

TEST(Settings, HalvingTheToleranceMovesNothingByMoreThanAThousandth) {
    int number = 0;
    for (const auto& plant : some_plants()) {
        engine::Options options;
        const auto whole = run(plant, options);
        options.relative_tolerance *= 0.5;
        expect_close(whole, run(plant, options), 1e-3, ++number);
    }
}

TEST(Settings, DefaultsAreWithinAThousandthOfAFineReference) {
    int number = 0;
    for (const auto& plant : some_plants()) expect_close(run(plant), run(plant, tight()), 1e-3, ++number);
}

void expect_identical(const outcome::Outcome& a, const outcome::Outcome& b) {
    EXPECT_EQ(a.effort.steps, b.effort.steps);
    for (std::size_t r = 0; r < a.risers.size(); ++r) {
        EXPECT_EQ(a.risers[r].time_to_target, b.risers[r].time_to_target);
        EXPECT_EQ(a.risers[r].fill_time, b.risers[r].fill_time);
        for (std::size_t p = 0; p < a.risers[r].pipes.size(); ++p) {
            EXPECT_EQ(a.risers[r].pipes[p].oxygen, b.risers[r].pipes[p].oxygen);
            EXPECT_EQ(a.risers[r].pipes[p].time_to_target, b.risers[r].pipes[p].time_to_target);
        }
    }
}

class OutputTimes : public ::testing::TestWithParam<std::size_t> {};

TEST_P(OutputTimes, ChangeNoResult) {
    int number = 0;
    for (const auto& plant : some_plants()) {
        for (const bool skip_cycles : {false, true}) {
            engine::Options options;
            options.skip_cycles = skip_cycles;
            options.history_points = 0;
            const auto without = run(plant, options);
            EXPECT_TRUE(without.history.times.empty());
            options.history_points = GetParam();
            const auto with = run(plant, options);
            ASSERT_EQ(with.history.times.size(), GetParam());
            EXPECT_EQ(with.history.times.back(), plant.duration);
            // Series that skip cycles end at the rows: equal far within the tolerance. Where compartments
            // mix, rows decide whether cycles are skipped. Steps of the run itself do not see the rows at
            // all.
            expect_close(with, without, 1e-7, ++number);
            if (!skip_cycles) expect_identical(with, without);
        }
    }
}

INSTANTIATE_TEST_SUITE_P(Rows, OutputTimes, ::testing::Values(2u, 721u, 10000u));

TEST(Settings, SkippingCyclesChangesNoResult) {
    int number = 0;
    for (const auto& plant : some_plants()) {
        engine::Options options = tight(1e-9);
        const auto skipped = run(plant, options);
        options.skip_cycles = false;
        expect_close(skipped, run(plant, options), 1e-6, ++number);
    }
}

TEST(Settings, LastRowOfTheHistoryIsTheFinalState) {
    for (const auto& plant : some_plants()) {
        const auto out = run(plant);
        std::size_t column = 0;
        const std::size_t last = out.history.times.size() - 1;
        for (std::size_t r = 0; r < out.risers.size(); ++r) {
            EXPECT_NEAR(out.history.pressure.at(last, r) / out.risers[r].final_pressure, 1.0, 1e-9);
            for (const auto& pipe : out.risers[r].pipes) {
                for (const double oxygen : pipe.oxygen) {
                    EXPECT_NEAR(out.history.oxygen.at(last, column++), oxygen, 1e-9);
                }
            }
        }
    }
}

TEST(Settings, SameRunTwiceIsTheSameToTheBit) {
    for (const auto& plant : some_plants()) {
        const auto one = run(plant), other = run(plant);
        EXPECT_EQ(one.history.oxygen.data, other.history.oxygen.data);
        EXPECT_EQ(one.effort.steps, other.effort.steps);
    }
}

}  // namespace
