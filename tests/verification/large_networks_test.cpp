// Hundreds of compartments: implicit steps that pass by what is quiet, on every kind of tree.
#include <algorithm>
#include <boost/math/special_functions/gamma.hpp>
#include <cmath>
#include <random>

#include "support/hole.hpp"
#include "support/plants.hpp"
#include "support/run.hpp"
#include "support/sanitized.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

constexpr double bore = 0.1;

engine::Options without_rows(double tolerance) {
    engine::Options options;
    options.relative_tolerance = tolerance;
    options.history_points = 0;
    return options;
}

/// Its receiver gives pure product whenever it runs, and never less than asked for.
plant::Generator ample() {
    plant::Generator source = generator(purity_as_heavy_as_air());
    source.nitrogen_flow = 10e-3;
    return source;
}

TEST(LongChain, EveryCellFollowsTheErlangWashout) {
    constexpr int cells = 800;
    constexpr double vent_diameter = 1e-3;
    plant::Riser riser = full_riser({tube("run", bore, 100.0, cells)});
    riser.vents.push_back(vent("run", vent_diameter));
    plant::Plant plant = plant_of(std::move(riser), ample(), 1.0);
    const double tau = moles_of(set_pressure, plant.risers[0].volume()) /
                       choked_flow(effective_area(vent_diameter), set_pressure, air_mass());
    plant.duration = 1.5 * tau;
    engine::Options options;
    options.history_points = 16;
    const auto out = run(plant, options);
    double worst = 0.0;
    for (std::size_t k = 0; k < out.history.times.size(); ++k) {
        const double passed = cells * out.history.times[k] / tau;
        for (int i = 0; i < cells; ++i) {
            const double z =
                air_fraction(out.history.oxygen.at(k, static_cast<std::size_t>(i)), purity_as_heavy_as_air());
            worst = std::max(worst, std::abs(z - boost::math::gamma_q(i + 1.0, passed)));
        }
    }
    EXPECT_LT(worst, 2e-5);
    EXPECT_GT(worst, 0.0);
}

/// Pipes of random length off random pipes before them, with vents and leaks here and there.
plant::Riser bush(std::mt19937& random, const std::string& name, bool bushy) {
    const auto up_to = [&](int most) { return std::uniform_int_distribution<int>(1, most)(random); };
    std::vector<plant::Pipe> pipes;
    for (int k = 0; k < 30; ++k) {
        const int from = k - (bushy ? up_to(std::max(k, 1)) : up_to(std::min(std::max(k, 1), 2)));
        plant::Pipe pipe = tube("p" + std::to_string(k), 0.02 + 0.01 * up_to(6), 2.0 * up_to(6), up_to(20));
        pipes.push_back(k == 0 ? pipe : on(pipe, "p" + std::to_string(from)));
    }
    plant::Riser riser = full_riser(std::move(pipes), name);
    for (int k = 0; k < 4; ++k) {
        riser.vents.push_back(vent("p" + std::to_string(up_to(29)), 0.2e-3 * up_to(4)));
        riser.vents.back().name += std::to_string(k);
        riser.leaks.push_back(hole("p" + std::to_string(up_to(29)), 0.1e-3 * up_to(3)));
    }
    return riser;
}

class LargeNetwork : public ::testing::TestWithParam<unsigned> {};

TEST_P(LargeNetwork, ImplicitStepsOfTheCruiseAgreeWithEveryCycleResolved) {
    std::mt19937 random(GetParam());
    plant::Generator source = generator(0.985);
    source.receiver.initial_gas = GetParam() % 3 == 0 ? plant::InitialGas::air : plant::InitialGas::source;
    plant::Plant plant = plant_of(bush(random, "one", GetParam() % 2 == 0), source, 2.0 * day);
    if (GetParam() % 3 == 1) plant.risers.push_back(bush(random, "two", GetParam() % 2 == 1));
    ASSERT_TRUE(plant::find_problems(plant).empty());
    const auto quick = run(plant, without_rows(1e-7));
    engine::Options every = without_rows(1e-7);
    every.skip_cycles = false;
    const auto slow = run(plant, every);
    EXPECT_NE(quick.effort.steps, slow.effort.steps);  // else the comparison would be empty
    EXPECT_EQ(quick.source.starts, slow.source.starts);
    for (std::size_t r = 0; r < plant.risers.size(); ++r) {
        const outcome::RiserOutcome &a = quick.risers[r], &b = slow.risers[r];
        EXPECT_NEAR(a.vented, b.vented, 1e-5 * b.vented);
        EXPECT_NEAR(a.leaked, b.leaked, 1e-5 * b.leaked);
        ASSERT_EQ(a.time_to_target.has_value(), b.time_to_target.has_value());
        if (b.time_to_target) {
            EXPECT_NEAR(*a.time_to_target, *b.time_to_target, 1e-5 * *b.time_to_target);
        }
        for (std::size_t p = 0; p < b.pipes.size(); ++p) {
            for (std::size_t c = 0; c < b.pipes[p].oxygen.size(); ++c)
                EXPECT_NEAR(a.pipes[p].oxygen[c], b.pipes[p].oxygen[c], 2e-6) << b.pipes[p].name << ' ' << c;
        }
        EXPECT_NEAR(a.oxygen_exposure, b.oxygen_exposure, 1e-5 * b.oxygen_exposure);
    }
}

INSTANTIATE_TEST_SUITE_P(Seeds, LargeNetwork, ::testing::Range(0U, sanitized ? 3U : 24U));

}  // namespace
