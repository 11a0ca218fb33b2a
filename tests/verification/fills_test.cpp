// Fills: one at a time in file order, with rests; and a riser that never fills.
#include <algorithm>

#include "support/hole.hpp"
#include "support/plants.hpp"
#include "support/run.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

plant::Riser empty_riser(std::string name, double volume, double rest) {
    plant::Riser riser = full_riser({vessel("main", volume)}, std::move(name));
    riser.initial_pressure.reset();
    riser.fill = {3e-3, 0.8};
    riser.supply = plant::Regulator{{1e-3, 0.8}};
    riser.rest = rest;
    return riser;
}

double fill_time(double volume) {
    return moles_of(set_pressure - 101325.0, volume) /
           choked_flow(effective_area(3e-3), 20e5, product_mass(0.98));
}

plant::Plant three_risers(plant::Source source) {
    plant::Plant plant = plant_of(empty_riser("one", 1.0, 100.0), std::move(source), 20000.0);
    plant.risers.push_back(empty_riser("two", 0.3, 0.0));
    plant.risers.push_back(empty_riser("three", 0.6, 50.0));
    return plant;
}

TEST(Fills, OneAtATimeInFileOrderWithRests) {
    const auto out = run(three_risers(cylinders(0.98)));
    double begin = 0.0;
    const double volumes[] = {1.0, 0.3, 0.6}, rests[] = {100.0, 0.0, 50.0};
    for (std::size_t r = 0; r < 3; ++r) {
        ASSERT_TRUE(out.risers[r].fill_time);
        EXPECT_NEAR(out.risers[r].fill_start.value_or(-1.0), begin, 1e-3);
        EXPECT_NEAR(*out.risers[r].fill_time, fill_time(volumes[r]), 1e-3);
        begin += fill_time(volumes[r]) + rests[r];
    }
}

TEST(Fills, ARestAfterTheLastRiserHoldsNothingUp) {
    plant::Plant plant = three_risers(cylinders(0.98));
    const auto with = run(plant);
    plant.risers[2].rest = 0.0;
    const auto without = run(plant);
    EXPECT_EQ(*with.risers[2].fill_time, *without.risers[2].fill_time);
}

TEST(Fills, ARiserThatNeverFillsHoldsUpTheOthers) {
    plant::Plant plant = three_risers(cylinders(0.98));
    plant.risers[1].set_pressure = 25e5;  // above the cylinders
    plant.target = 0.979;
    const auto out = run(plant);
    EXPECT_TRUE(out.risers[0].fill_time);
    EXPECT_FALSE(out.risers[1].fill_time);
    EXPECT_TRUE(out.risers[1].fill_start);
    EXPECT_FALSE(out.risers[2].fill_start);
    EXPECT_FALSE(out.risers[1].fill_met || out.risers[2].fill_met);
    EXPECT_NEAR(out.risers[1].final_pressure, 20e5, 1.0);
    EXPECT_NEAR(out.risers[2].final_pressure, 101325.0, 1e-6);
    EXPECT_EQ(out.risers[1].not_met_because, outcome::Code::riser_never_filled);
    EXPECT_EQ(std::count_if(out.messages.begin(), out.messages.end(),
                            [](const auto& m) { return m.code == outcome::Code::riser_never_filled; }),
              2);
}

TEST(Fills, LeaksActOnARiserThatWaits) {
    plant::Plant plant = three_risers(cylinders(0.98));
    plant.risers[2].initial_pressure = 3e5;
    plant.risers[2].leaks.push_back(hole("main", 1e-3));
    plant.duration = 0.5 * fill_time(1.0);
    const auto out = run(plant, tight());
    const double rate = choked_flow(effective_area(1e-3), 1.0, air_mass()) / moles_of(1.0, 0.6);
    EXPECT_NEAR(out.risers[2].final_pressure, 3e5 * std::exp(-rate * plant.duration), 1e-2);
}

TEST(Fills, ARiserAtItsSetPressureIsFullAtOnce) {
    plant::Plant plant = three_risers(cylinders(0.98));
    plant.risers[0].initial_pressure = set_pressure;
    const auto out = run(plant);
    EXPECT_EQ(out.risers[0].fill_time, 0.0);
    EXPECT_TRUE(out.risers[0].fill_met);
    EXPECT_NEAR(out.risers[1].fill_start.value_or(-1.0), 100.0, 1e-9);
}

TEST(Fills, FillWithNitrogenMakesTheMixtureOfBothAmounts) {
    const auto out = run(three_risers(cylinders(0.98)));
    const double expected = 0.02 + (0.209476 - 0.02) * 101325.0 / set_pressure;
    for (const auto& riser : out.risers) EXPECT_NEAR(riser.pipes[0].oxygen[0], expected, 1e-9);
}

}  // namespace
