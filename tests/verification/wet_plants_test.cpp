// Random plants with water at their low points: whatever is valid runs, keeps all balances, the water's
// included, and does not flip for ever.
#include <algorithm>
#include <cmath>

#include "support/run.hpp"
#include "support/sanitized.hpp"
#include "support/wet_plants.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

constexpr unsigned plants = sanitized ? 8 : 100;
constexpr unsigned batches = 10;

class WetPlants : public ::testing::TestWithParam<unsigned> {};

void expect_sound(const outcome::Outcome& out) {
    EXPECT_LT(out.balance.worst_relative, 1e-9);
    for (const auto& riser : out.risers) {
        EXPECT_NE(riser.time_to_target.has_value(), riser.not_met_because.has_value());
        EXPECT_GT(riser.final_pressure, 0.0);
        for (const auto& water : riser.low_points) {
            EXPECT_GE(water.water_at_end, 0.0);
            EXPECT_LE(water.water_at_end, water.water_at_start * (1.0 + 1e-9));
            EXPECT_LE(water.closed_time, out.duration * (1.0 + 1e-9));
            EXPECT_GT(water.pressure_behind, 0.0);
        }
        if (riser.dew_point) {
            EXPECT_TRUE(std::isfinite(*riser.dew_point));
        }
    }
    const auto& oxygen = out.history.oxygen.data;
    const auto [least, most] = std::minmax_element(oxygen.begin(), oxygen.end());
    EXPECT_GE(*least, -1e-9);
    EXPECT_LE(*most,
              std::max(0.209476, 1.0 - out.nitrogen_purity) + 0.02);  // water at rest gives oxygen back
    for (const double x : oxygen) ASSERT_TRUE(std::isfinite(x));
}

TEST_P(WetPlants, RunAndAreSound) {
    int wet = 0;
    for (unsigned seed = GetParam(); seed < plants; seed += batches) {
        SCOPED_TRACE("seed " + std::to_string(seed));
        plant::Plant plant = random_plant(seed);
        Dice dice(seed + 7000);
        add_random_water(plant, dice);
        if (!plant.risers[0].low_points.empty() && dice.chance(0.5)) {
            plant.actions = {{dice.between(0.0, 0.9) * plant.duration, plant::Deed::drain,
                              plant.risers[0].name, plant.risers[0].low_points[0].name, "", 0.0}};
        }
        ASSERT_TRUE(plant::find_problems(plant).empty());
        outcome::Outcome out;
        ASSERT_NO_THROW(out = engine::predict(plant));
        for (const auto& riser : out.risers) wet += riser.low_points.empty() ? 0 : 1;
        expect_sound(out);
    }
    EXPECT_GT(wet, static_cast<int>(plants / batches) / 3);
}

INSTANTIATE_TEST_SUITE_P(Batches, WetPlants, ::testing::Range(0U, batches));

}  // namespace
