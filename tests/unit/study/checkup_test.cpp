#include "oxfade/study/checkup.hpp"

#include <cmath>
#include <numbers>

#include "oxfade/engine/predict.hpp"
#include "oxfade/gas/transport.hpp"
#include "support/plants.hpp"

namespace oxfade::study {
namespace {

using sample::day;

/// A wide pipe purged at once, and a dead pipe on it.
plant::Plant with_dead_pipe(double bore, double length, bool buoyant, int cells = 40) {
    plant::Riser riser =
        sample::full_riser({sample::tube("main", 0.3, 2.0), sample::tube("dead", bore, length, cells)});
    riser.vents = {sample::vent("main", 3e-3)};
    plant::Plant plant = sample::plant_of(riser, sample::cylinders(0.995, 1e8), 400.0 * day);
    plant.target = 0.98;
    plant.mixing = {true, buoyant};
    return plant;
}

TEST(Checkup, SizesFollowTheSteps) {
    constexpr double gallon = sample::gallon;
    EXPECT_EQ(size_step(500.0 * gallon), SizeStep::plain);
    EXPECT_EQ(size_step(501.0 * gallon), SizeStep::with_quick);
    EXPECT_EQ(size_step(750.0 * gallon), SizeStep::with_quick);
    EXPECT_EQ(size_step(751.0 * gallon), SizeStep::by_delivery);
}

TEST(Checkup, DiffusionAloneIsTheSlowestModesTime) {
    // The closed end of a slab held clean at its mouth: series solution, of which the first term is left.
    const double length = 2.0, d = 1e-5, t = dead_end_time(length, d, 0.0, 0.2, 0.01);
    double excess = 0.0;
    for (int n = 0; n < 20; ++n) {
        const double k = (2.0 * n + 1.0) * std::numbers::pi / 2.0;
        excess += 0.2 * 2.0 * (n % 2 == 0 ? 1.0 : -1.0) / k * std::exp(-k * k * d * t / (length * length));
    }
    EXPECT_NEAR(excess, 0.01, 1e-6);
}

TEST(Checkup, TheEngineAgreesOnDiffusion) {
    const plant::Plant plant = with_dead_pipe(0.05, 3.0, false);
    const Checkup found = checkup(plant);
    ASSERT_EQ(found.dead_ends.size(), 1u);
    EXPECT_EQ(found.dead_ends[0].pipe, "dead");
    EXPECT_FALSE(found.dead_ends[0].by_mixing.has_value());
    const auto time = engine::predict(plant).risers[0].time_to_target;
    ASSERT_TRUE(time.has_value());
    EXPECT_NEAR(*time / *found.dead_ends[0].by_diffusion, 1.0, 0.1);
}

TEST(Checkup, TheEngineAgreesOnBuoyantExchange) {
    for (const double bore : {0.04, 0.055, 0.08}) {
        plant::Plant plant = with_dead_pipe(bore, 8.0, true, 10);
        plant.risers[0].pipes[0].shape = plant::Cylinder{0.3, 0.02};  // no way to go before the mouth
        const DeadEnd end = checkup(plant).dead_ends.at(0);
        const auto time = engine::predict(plant).risers[0].time_to_target;
        ASSERT_TRUE(time.has_value()) << bore;
        EXPECT_LT(*end.by_mixing, *end.by_diffusion);
        EXPECT_NEAR(*time / *end.by_mixing, 1.0, 0.15) << bore;
    }
}

TEST(Checkup, SaysFromWhereTheLawOfBuoyantExchangeHolds) {
    const auto limit = [](double bore, double length) {
        return checkup(with_dead_pipe(bore, length, true, 2)).dead_ends.at(0).law_below;
    };
    EXPECT_FALSE(limit(0.03, 8.0)) << "slow enough from the start";
    ASSERT_TRUE(limit(0.1, 3.0).has_value());
    // Ra falls with the length, and the way to go grows with it; Ra a grows with the fifth power of the bore.
    EXPECT_NEAR(*limit(0.1, 6.0) / *limit(0.1, 3.0), 4.0, 1e-9);
    EXPECT_NEAR(*limit(0.1, 3.0) / *limit(0.12, 3.0), std::pow(1.2, 5), 1e-9);
    EXPECT_FALSE(checkup(with_dead_pipe(0.1, 3.0, false, 2)).dead_ends.at(0).law_below);
}

TEST(Checkup, SaysWhenShortPartsHoldTheExchangeBack) {
    const plant::Plant fine = with_dead_pipe(0.08, 8.0, true, 40),
                       coarse = with_dead_pipe(0.08, 8.0, true, 10);
    EXPECT_EQ(checkup(fine).dead_ends.at(0).most_cells, 10);
    EXPECT_FALSE(checkup(coarse).dead_ends.at(0).most_cells);
    EXPECT_FALSE(checkup(with_dead_pipe(0.02, 8.0, true, 40)).dead_ends.at(0).most_cells)
        << "no ceiling there";
    const auto time = [](const plant::Plant& plant) {
        return engine::predict(plant).risers[0].time_to_target.value_or(0.0);
    };
    EXPECT_GT(time(fine), 1.2 * time(coarse));
}

TEST(Checkup, SaysHowFarGasMixesBeforeTheMouth) {
    EXPECT_EQ(checkup(with_dead_pipe(0.05, 3.0, true)).dead_ends.at(0).mouth_length, 1.0);
    EXPECT_FALSE(checkup(with_dead_pipe(0.05, 8.0, true)).dead_ends.at(0).mouth_length);
}

TEST(Checkup, WhatIsNotKnownIsNotSaid) {
    plant::Plant plant = with_dead_pipe(0.05, 3.0, true);
    plant.risers[0].pipes[1].shape = plant::VolumeOnly{0.1};
    const DeadEnd end = checkup(plant).dead_ends.at(0);
    EXPECT_FALSE(end.length || end.by_diffusion || end.by_mixing || end.leak_renewal);
    plant.risers[0].leaks = {sample::hole("dead", 1e-4)};
    EXPECT_GT(checkup(plant).dead_ends.at(0).leak_renewal.value_or(0.0), 0.0);
    plant.risers[0].pipes[0].shape = plant::VolumeOnly{0.1};
    EXPECT_FALSE(checkup(plant).dead_ends.at(0).by_diffusion);
    plant.risers[0].pipes[0].shape = plant::Cylinder{0.3, 2.0};
    EXPECT_FALSE(checkup(plant).margin.has_value());
    plant.target = 0.996;
    plant.risers[0].pipes[1].shape = plant::Cylinder{0.05, 3.0};
    EXPECT_TRUE(std::isinf(*checkup(plant).dead_ends.at(0).by_diffusion));
}

TEST(Checkup, TheMarginIsWhatTheSeparatorHasLeft) {
    plant::Plant plant = sample::two_pipe_riser(1e-3);
    const double margin = *checkup(plant).margin;
    std::get<plant::Generator>(plant.source).nitrogen_flow *= 0.5;
    EXPECT_NEAR(1.0 - *checkup(plant).margin, 2.0 * (1.0 - margin), 1e-12);
}

}  // namespace
}  // namespace oxfade::study
