#include <algorithm>
#include <cmath>

#include "oxfade/engine/predict.hpp"
#include "support/random_plant.hpp"
#include "support/sanitized.hpp"

namespace oxfade {
namespace {

constexpr unsigned count = sample::sanitized ? 12 : 300;

enum class Kind {
    series,   ///< no loops and no mixing
    coupled,  ///< compartments mix, and some risers have loops
    warmed,   ///< as the first, but warm for a part of each day
};

/// Random plants of the kind whose source cycles are passed over: regulators.
plant::Plant quiet_plant(unsigned seed, Kind kind) {
    const bool coupled = kind == Kind::coupled;
    plant::Plant plant = sample::random_plant(seed);
    if (!coupled) plant.mixing = {false, false, false};
    plant.duration *= 4.0;
    for (plant::Riser& riser : plant.risers) {
        if (kind == Kind::warmed) {
            const double cold = plant.site.temperature.mean() - 4.0, warm = cold + 6.0, day = 86400.0;
            riser.temperature = plant::TemperatureTable{
                {{0.0, cold}, {0.3 * day, cold}, {0.4 * day, warm}, {0.7 * day, warm}, {0.9 * day, cold}},
                day};
        }
        if (!coupled) {
            riser.links.clear();
            for (plant::Pipe& pipe : riser.pipes) pipe.exchange.reset();
        }
        if (const auto* s = std::get_if<plant::PressureSwitch>(&riser.supply)) {
            const plant::Orifice orifice = s->orifice;
            riser.supply = plant::Regulator{orifice};
        }
    }
    return plant;
}

double relative(double a, double b) { return std::abs(a - b) / std::max(std::abs(b), 1e-12); }

void expect_agreement(Kind kind, double within = 1e-5) {
    double worst_oxygen = 0.0, worst_time = 0.0, worst_running = 0.0;
    int skipped = 0;
    const unsigned plants = kind == Kind::series ? count : count / 2;
    for (unsigned seed = 0; seed < plants; ++seed) {
        const plant::Plant plant = quiet_plant(seed, kind);
        engine::Options options;
        options.history_points = 0;
        options.relative_tolerance = 1e-7;
        const outcome::Outcome with = engine::predict(plant, options);
        options.skip_cycles = false;
        const outcome::Outcome without = engine::predict(plant, options);
        skipped += with.effort.steps * (kind == Kind::series ? 2 : 1) < without.effort.steps;
        ASSERT_LT(with.balance.worst_relative, 1e-9) << "seed " << seed;
        ASSERT_EQ(with.source.starts, without.source.starts) << "seed " << seed;
        worst_running =
            std::max(worst_running, std::abs(with.source.running - without.source.running) / plant.duration);
        for (std::size_t r = 0; r < with.risers.size(); ++r) {
            const outcome::RiserOutcome& a = with.risers[r];
            const outcome::RiserOutcome& b = without.risers[r];
            ASSERT_EQ(a.time_to_target.has_value(), b.time_to_target.has_value()) << "seed " << seed;
            ASSERT_EQ(a.at_target.size(), b.at_target.size()) << "seed " << seed;
            if (a.time_to_target)
                worst_time = std::max(worst_time, relative(*a.time_to_target, *b.time_to_target));
            for (std::size_t p = 0; p < a.pipes.size(); ++p) {
                for (std::size_t c = 0; c < a.pipes[p].oxygen.size(); ++c) {
                    worst_oxygen =
                        std::max(worst_oxygen, relative(a.pipes[p].oxygen[c], b.pipes[p].oxygen[c]));
                }
            }
        }
    }
    ::testing::Test::RecordProperty("plants_sped_up", skipped);
    EXPECT_GT(skipped, static_cast<int>(plants) / 10);  // the comparison must not be empty
    EXPECT_LT(worst_time, within);
    EXPECT_LT(worst_oxygen, within);
    EXPECT_LT(worst_running, 1e-6);
}

TEST(SkippedCycles, worst_of_hundreds_of_plants_agrees_with_every_cycle_resolved) {
    expect_agreement(Kind::series);
}

TEST(SkippedCycles, so_does_that_of_hundreds_that_mix_and_have_loops) { expect_agreement(Kind::coupled); }

TEST(SkippedCycles, so_does_that_of_hundreds_that_are_warm_for_a_part_of_the_day) {
    expect_agreement(Kind::warmed);
}

}  // namespace
}  // namespace oxfade
