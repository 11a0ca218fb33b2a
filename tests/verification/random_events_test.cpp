// Hundreds of random plants with water at their low points, in changing temperatures, to which things happen:
// they run, keep their balances, and no switch flips for ever.
#include <cmath>

#include "support/random_events.hpp"
#include "support/run.hpp"
#include "support/sanitized.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

constexpr unsigned plants = sanitized ? 8 : 500;
constexpr unsigned batches = 16;

class RandomEvents : public ::testing::TestWithParam<unsigned> {};

/// What the stretches say adds up to what the run says.
void expect_sum(const outcome::Outcome& out) {
    double end = 0.0, running = 0.0, made = 0.0;
    for (const auto& stretch : out.stretches) {
        EXPECT_EQ(stretch.begin, end);
        end = stretch.end;
        running += stretch.running;
        made += stretch.made_nitrogen;
    }
    EXPECT_EQ(end, out.duration);
    EXPECT_NEAR(running, out.source.running, 1e-9 * out.duration);
    EXPECT_NEAR(made, out.source.made_nitrogen, 1e-9 * (1.0 + made));
    for (std::size_t r = 0; r < out.risers.size(); ++r) {
        double supplied = 0.0, vented = 0.0, leaked = 0.0;
        for (const auto& stretch : out.stretches) {
            const auto& riser = stretch.risers[r];
            supplied += riser.supplied;
            vented += riser.vented;
            leaked += riser.leaked;
            EXPECT_GE(riser.oxygen_end, -1e-9);
        }
        const double scale = 1e-8 * (1.0 + std::abs(supplied));
        // As gas warms a regulator may hold a thousandth of a second too long: until that is located.
        for (const auto& stretch : out.stretches) EXPECT_GE(stretch.risers[r].supplied, -scale);
        EXPECT_NEAR(supplied, out.risers[r].supplied, scale);
        EXPECT_NEAR(vented, out.risers[r].vented, scale);
        EXPECT_NEAR(leaked, out.risers[r].leaked, scale);
    }
}

TEST_P(RandomEvents, RunAndAreSound) {
    int with_water = 0, with_actions = 0;
    for (unsigned seed = GetParam(); seed < plants; seed += batches) {
        SCOPED_TRACE("seed " + std::to_string(seed));
        const plant::Plant plant = random_eventful_plant(seed);
        const auto problems = plant::find_problems(plant);
        ASSERT_TRUE(problems.empty()) << problems[0].key << ' ' << problems[0].what;
        outcome::Outcome out;
        engine::Options options;
        options.history_points = 0;
        ASSERT_NO_THROW(out = engine::predict(plant, options));
        EXPECT_LT(out.balance.worst_relative, 1e-9);
        for (const auto& riser : out.risers) {
            EXPECT_TRUE(std::isfinite(riser.vented) && std::isfinite(riser.supplied));
            EXPECT_GT(riser.final_pressure, 0.0);
            with_water += riser.low_points.empty() ? 0 : 1;
            for (const auto& water : riser.low_points) EXPECT_GE(water.water_at_end, 0.0);
        }
        EXPECT_EQ(out.stretches.empty(), plant.actions.empty());
        if (!out.stretches.empty()) expect_sum(out);
        with_actions += plant.actions.empty() ? 0 : 1;
    }
    if constexpr (sanitized) return;  // one plant tells nothing of how they are mixed
    EXPECT_GE(with_water, static_cast<int>(plants / batches) / 5);
    EXPECT_GT(with_actions, static_cast<int>(plants / batches) / 2);
}

INSTANTIATE_TEST_SUITE_P(Batches, RandomEvents, ::testing::Range(0U, batches));

}  // namespace
