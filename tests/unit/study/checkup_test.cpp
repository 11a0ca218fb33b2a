#include "oxfade/study/checkup.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "oxfade/engine/predict.hpp"
#include "oxfade/gas/transport.hpp"
#include "oxfade/study/dead_end.hpp"
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

/// 3 m of 2 in pipe, say, on 98 % nitrogen.
DeadEndWay way_of(double length, double bore, double pitch, bool buoyant) {
    DeadEndWay way;
    way.pieces = {{length, bore, pitch, 1.0, 0.0}};
    way.product = gas::nitrogen_of_purity(0.99);
    way.pressure = 3e5;
    way.temperature = 288.15;
    way.mixing.buoyant = buoyant;
    way.mixing.mouth = 0.0;
    return way;
}

TEST(DeadEnd, ByDiffusionAloneIsTheSlowestModesTime) {
    const DeadEndWay way = way_of(2.0, 0.05, 0.0, false);
    const double d = gas::diffusivity_times_pressure(way.temperature) / way.pressure,
                 time = washout_time(way, 0.05);
    double share = 0.0;
    for (int n = 0; n < 20; ++n) {
        const double k = (2.0 * n + 1.0) * std::numbers::pi / 2.0;
        share += 2.0 * (n % 2 == 0 ? 1.0 : -1.0) / k * std::exp(-k * k * d * time / 4.0);
    }
    EXPECT_NEAR(share, 0.05, 0.003);
}

TEST(DeadEnd, GrowsWithTheSquareOfItsLength) {
    EXPECT_NEAR(
        washout_time(way_of(6.0, 0.05, 0.0, false), 0.05) / washout_time(way_of(3.0, 0.05, 0.0, false), 0.05),
        4.0, 0.04);
}

TEST(DeadEnd, IsPurgedFasterWhereHeavierAirRunsOut) {
    EXPECT_LT(washout_time(way_of(9.0, 0.1, 0.0, true), 0.05),
              0.2 * washout_time(way_of(9.0, 0.1, 0.0, false), 0.05));
}

TEST(DeadEnd, IsTheSameInOnePieceOrInTwo) {
    DeadEndWay two = way_of(9.0, 0.05, 0.0, true);
    two.pieces = {{4.0, 0.05, 0.0, 1.0, 0.0}, {5.0, 0.05, 0.0, 1.0, 0.0}};
    EXPECT_NEAR(washout_time(two, 0.05) / washout_time(way_of(9.0, 0.05, 0.0, true), 0.05), 1.0, 0.02);
}

TEST(DeadEnd, TakesLongerWithMoreBehindItAndNotWithMoreBesideIt) {
    DeadEndWay way = way_of(9.0, 0.05, 0.0, false);
    const double alone = washout_time(way, 0.05);
    way.pieces[0].lines = 5.0;
    EXPECT_NEAR(washout_time(way, 0.05) / alone, 1.0, 1e-6);
    way.pieces[0].aside = 5.0 * 9.0 * 0.002;
    EXPECT_GT(washout_time(way, 0.05), 1.5 * alone);
}

TEST(DeadEnd, NeverWithoutMixing) {
    DeadEndWay way = way_of(9.0, 0.05, 0.0, false);
    way.mixing.molecular = false;
    EXPECT_TRUE(std::isinf(washout_time(way, 0.05)));
    EXPECT_TRUE(std::isinf(washout_time(way_of(9.0, 0.05, 0.0, false), 0.05, 86400.0)));
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

TEST(Checkup, TellsOneOfEqualLinesAndHowManyThereAre) {
    plant::Plant plant = with_dead_pipe(0.04, 8.0, true);
    const DeadEnd one = checkup(plant).dead_ends.at(0);
    plant.risers[0].pipes[1].count = 22;
    const DeadEnd many = checkup(plant).dead_ends.at(0);
    EXPECT_EQ(many.copies, 22);
    EXPECT_EQ(many.pipe, "dead (22 equal)");
    EXPECT_DOUBLE_EQ(many.volume, one.volume);
    EXPECT_DOUBLE_EQ(*many.by_mixing, *one.by_mixing);
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
