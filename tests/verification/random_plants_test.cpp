// Hundreds of random plants: whatever is valid runs, keeps its balances and does not depend on the order in
// which its pipes are written.
#include <algorithm>
#include <cmath>

#include "support/random_plant.hpp"
#include "support/run.hpp"
#include "support/sanitized.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

constexpr unsigned plants = sanitized ? 30 : 510;
constexpr unsigned batches = 15;

void expect_sound(const outcome::Outcome& out) {
    EXPECT_LT(out.balance.worst_relative, 1e-9);
    for (const auto& riser : out.risers) {
        EXPECT_TRUE(std::isfinite(riser.vented) && std::isfinite(riser.leaked));
        EXPECT_GT(riser.final_pressure, 0.0);
        EXPECT_LE(riser.lowest_in_service, riser.highest_in_service);
        EXPECT_NE(riser.time_to_target.has_value(), riser.not_met_because.has_value());
        EXPECT_LE(riser.time_to_target.value_or(0.0), out.duration);
        for (std::size_t k = 1; k < riser.at_target.size(); ++k) {
            EXPECT_LE(riser.at_target[k - 1].end, riser.at_target[k].begin);
        }
    }
    EXPECT_LE(out.source.on_air, out.source.running + 1e-9);
    EXPECT_LE(out.source.running, out.duration * (1.0 + 1e-12));
    ASSERT_EQ(out.history.times.size(), 721u);
    EXPECT_GT(*std::min_element(out.history.pressure.data.begin(), out.history.pressure.data.end()), 0.0);
    const auto [least, most] =
        std::minmax_element(out.history.oxygen.data.begin(), out.history.oxygen.data.end());
    EXPECT_GE(*least, -1e-9);
    EXPECT_LE(*most, std::max(0.209476, 1.0 - out.nitrogen_purity) + 1e-6);
    for (const double oxygen : out.history.oxygen.data) ASSERT_TRUE(std::isfinite(oxygen));
    for (const double pressure : out.history.receiver_pressure) ASSERT_GE(pressure, 0.0);
}

class RandomPlants : public ::testing::TestWithParam<unsigned> {};

TEST_P(RandomPlants, RunAndAreSound) {
    for (unsigned seed = GetParam(); seed < plants; seed += batches) {
        SCOPED_TRACE("seed " + std::to_string(seed));
        const plant::Plant plant = random_plant(seed);
        ASSERT_TRUE(plant::find_problems(plant).empty());
        outcome::Outcome out;
        ASSERT_NO_THROW(out = engine::predict(plant));
        expect_sound(out);
    }
}

/// The same plant with each riser's pipes in another order, vents and links too; the first pipe stays first.
plant::Plant reordered(plant::Plant plant, Dice& dice) {
    for (auto& riser : plant.risers) {
        for (std::size_t p = 1; p < riser.pipes.size(); ++p) {
            if (!riser.pipes[p].from) riser.pipes[p].from = riser.pipes[p - 1].name;
        }
        for (std::size_t p = riser.pipes.size(); p-- > 2;) {
            std::swap(riser.pipes[p],
                      riser.pipes[static_cast<std::size_t>(dice.count(1, static_cast<int>(p)))]);
        }
        std::reverse(riser.vents.begin(), riser.vents.end());
        std::reverse(riser.leaks.begin(), riser.leaks.end());
    }
    return plant;
}

const outcome::PipeOutcome& pipe_named(const outcome::RiserOutcome& riser, const std::string& name) {
    return *std::find_if(riser.pipes.begin(), riser.pipes.end(),
                         [&](const auto& pipe) { return pipe.name == name; });
}

/// Several risers on switches that flip by the thousand are coupled through the receiver: which of them flips
/// first then hangs on rounding, and the answers agree less closely.
constexpr long many_events = 10000;

void expect_same(const outcome::Outcome& a, const outcome::Outcome& b) {
    const double closeness = a.effort.events > many_events && a.risers.size() > 1 ? 1e-3 : 1e-6;
    for (std::size_t r = 0; r < a.risers.size(); ++r) {
        const auto& one = a.risers[r];
        const auto& other = b.risers[r];
        EXPECT_NEAR(one.final_pressure / other.final_pressure, 1.0, closeness);
        EXPECT_EQ(one.fill_time.has_value(), other.fill_time.has_value());
        EXPECT_NEAR(one.fill_time.value_or(0.0), other.fill_time.value_or(0.0), 1e-3);
        ASSERT_EQ(one.time_to_target.has_value(), other.time_to_target.has_value());
        EXPECT_NEAR(one.time_to_target.value_or(0.0), other.time_to_target.value_or(0.0),
                    10.0 * closeness * a.duration);
        for (const auto& pipe : one.pipes) {
            const auto& same = pipe_named(other, pipe.name);
            for (std::size_t c = 0; c < pipe.oxygen.size(); ++c) {
                EXPECT_NEAR(pipe.oxygen[c], same.oxygen[c], closeness * std::max(pipe.oxygen[c], 1e-2))
                    << pipe.name;
            }
        }
    }
    EXPECT_NEAR(a.source.running, b.source.running, 10.0 * closeness * a.duration);
}

TEST_P(RandomPlants, DoNotDependOnTheOrderOfPipes) {
    engine::Options options;
    options.history_points = 0;
    options.relative_tolerance = 1e-7;
    Dice dice(GetParam() + 1000);
    for (unsigned seed = GetParam(); seed < plants; seed += 5 * batches) {
        SCOPED_TRACE("seed " + std::to_string(seed));
        const plant::Plant plant = random_plant(seed);
        expect_same(engine::predict(plant, options), engine::predict(reordered(plant, dice), options));
    }
}

INSTANTIATE_TEST_SUITE_P(Batches, RandomPlants, ::testing::Range(0u, batches));

TEST(RandomPlant, IsTheSameForTheSameSeedAndCoversEverything) {
    const auto one = random_plant(7), other = random_plant(7);
    EXPECT_EQ(one.duration, other.duration);
    EXPECT_EQ(one.risers.size(), other.risers.size());
    std::array<bool, 5> policies{};
    std::array<bool, 3> leaks{}, sources{};
    std::array<bool, 2> supplies{};
    bool loops = false, vacuum = false, above = false, several = false;
    for (unsigned seed = 0; seed < plants; ++seed) {
        const auto plant = random_plant(seed);
        sources[plant.source.index()] = true;
        several = several || plant.risers.size() > 1;
        for (const auto& riser : plant.risers) {
            supplies[riser.supply.index()] = true;
            loops = loops || !riser.links.empty();
            vacuum = vacuum || riser.initial_pressure.value_or(1e9) < 0.5 * plant.site.pressure;
            above = above || riser.initial_pressure.value_or(0.0) > riser.set_pressure;
            for (const auto& vent : riser.vents) policies[vent.policy.index()] = true;
            for (const auto& leak : riser.leaks) leaks[leak.size.index()] = true;
        }
    }
    const auto all = [](const auto& flags) {
        return std::all_of(flags.begin(), flags.end(), [](bool flag) { return flag; });
    };
    EXPECT_TRUE(all(policies) && all(leaks) && all(sources) && all(supplies));
    EXPECT_TRUE(loops && vacuum && above && several);
}

}  // namespace
