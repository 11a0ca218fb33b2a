// Corrosion exposure (model.md section 11): integrals over time against closed forms and fine sums.
#include <cmath>

#include "oxfade/flow/corrosion.hpp"
#include "oxfade/gas/dissolved.hpp"
#include "support/hole.hpp"
#include "support/run.hpp"
#include "support/wet_plants.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

constexpr double air_oxygen = 0.209476;

/// Sum of a history's oxygen pressure over what it is on air, in one column; by the trapezoidal rule.
double summed(const outcome::Outcome& out, std::size_t column) {
    double oxygen = 0.0, air = 0.0;
    const auto& history = out.history;
    for (std::size_t k = 1; k < history.times.size(); ++k) {
        const double step = history.times[k] - history.times[k - 1];
        for (const std::size_t row : {k - 1, k}) {
            oxygen += 0.5 * step * history.pressure.at(row, 0) * history.oxygen.at(row, column);
            air += 0.5 * step * history.pressure.at(row, 0) * air_oxygen;
        }
    }
    return oxygen / air;
}

TEST(Exposure, OfAirIsOneAndOfNitrogenItsShare) {
    plant::Plant plant = purged_vessel(0.98, 2.0 * day);
    plant.source = plant::Compressor{0.01, std::nullopt, generator().receiver};
    EXPECT_NEAR(run(plant).risers[0].oxygen_exposure, 1.0, 1e-12);
    plant = purged_vessel(0.98, 2.0 * day);
    plant.risers[0].initial_gas = plant::InitialGas::source;
    EXPECT_NEAR(run(plant).risers[0].oxygen_exposure, 0.02 / air_oxygen, 1e-9);
}

TEST(Exposure, OfAPurgeIsTheIntegralOfItsExponential) {
    // One vessel at constant pressure. Air is 3 % heavier than nitrogen and leaves 1.6 % more slowly at
    // first.
    const double duration = 6.0 * day, purity = 0.98;
    const plant::Plant plant = purged_vessel(purity, duration, 0.5e-3);
    const auto out = run(plant, tight());
    const double product = 1.0 - purity, last = out.risers[0].pipes[0].oxygen[0];
    const double turns = std::log((air_oxygen - product) / (last - product));
    const double closed = product + (air_oxygen - product) * (1.0 - std::exp(-turns)) / turns;
    EXPECT_NEAR(out.risers[0].oxygen_exposure, closed / air_oxygen, 5e-3 * closed / air_oxygen);
}

/// Steps, series of the cruise, counted cycles: each against a fine sum over the history.
TEST(Exposure, IsTheSumOverTheHistoryInEveryWayThroughARun) {
    engine::Options fine;
    fine.history_points = 40'001;
    std::vector<plant::Plant> plants;
    plants.push_back(purged_vessel(0.98, 10.0 * day, 0.5e-3));
    plants.back().source = generator(0.98);
    plants.push_back(plants[0]);  // as steps alone
    plants.push_back(plants[0]);
    plants.back().site.temperature = plant::DailySwing{285.0, 20.0, day, 0.0};
    plants.push_back(plants[0]);
    plants.back().risers[0].pipes = {vessel("main", 1.0), vessel("far", 1e-5), vessel("end", 1.0)};
    plants.back().risers[0].vents[0].at = "end";
    plants.push_back(plants[0]);
    plants.back().actions = {{5.0 * day, plant::Deed::trip, "riser", "", "", 0.0, 0.0}};
    plants.push_back(plants[0]);  // steps while it warms and cools, the cruise in between
    plants.back().risers[0].temperature = plant::TemperatureTable{
        {{0.0, 285.0}, {0.3 * day, 285.0}, {0.4 * day, 300.0}, {0.9 * day, 300.0}, {day, 285.0}}, day};
    for (std::size_t k = 0; k < plants.size(); ++k) {
        SCOPED_TRACE("plant " + std::to_string(k));
        engine::Options coarse;
        fine.skip_cycles = coarse.skip_cycles = k != 1;
        const double sum = summed(run(plants[k], fine), 0);
        EXPECT_NEAR(run(plants[k], coarse).risers[0].pipes[0].oxygen_exposure[0] / sum, 1.0, 2e-5);
    }
}

TEST(Exposure, UnderWaterInBalanceWithAirIsWhatAirGives) {
    plant::Riser riser = full_riser({tube("main", 0.05, 80.0), tube("far", 0.05, 60.0)});
    riser.low_points = {dip("far", 0.02, 0.01, 0.02)};
    riser.initial_gas = plant::InitialGas::air;
    plant::Plant plant = plant_of(riser, cylinders(0.99), 2.0 * day);
    const auto out = run(plant);
    ASSERT_TRUE(out.risers[0].low_points[0].oxygen_limit);
    const auto& limit = *out.risers[0].low_points[0].oxygen_limit;
    EXPECT_EQ(limit.time, 2.0 * day);
    const double temperature = plant.site.temperature.mean();
    const double concentration =
        gas::henry_constant(gas::Species::oxygen, temperature) * air_oxygen * set_pressure;
    EXPECT_NEAR(limit.concentration / concentration, 1.0,
                2e-3);  // what evaporates leaves a little more behind
    // k c, 4 F N, and 4/3 M N / rho, at 1 cm/h.
    const double flux = 0.01 / 3600.0 * limit.concentration;
    EXPECT_NEAR(limit.flux / flux, 1.0, 1e-12);
    EXPECT_NEAR(limit.current_density / (4.0 * 96485.33212 * flux), 1.0, 1e-9);
    EXPECT_NEAR(limit.penetration / (4.0 / 3.0 * 55.845e-3 * flux / 7870.0), 1.0, 1e-12);
    EXPECT_NEAR(limit.penetration_on_air / limit.penetration, 1.0, 8e-3);  // vapour takes its share
}

TEST(Exposure, OfSteelUnderWaterEndsWhereItIsDrainedOrFrozen) {
    plant::Plant plant = plant_of(sealed_riser(0.5), cylinders(0.99), 4.0 * day);
    plant.actions = {{1.0 * day, plant::Deed::drain, "riser", "", "", 0.0, 0.0}};
    EXPECT_NEAR(run(plant).risers[0].low_points[0].oxygen_limit->time, 1.0 * day, 1.0);
    plant.actions.push_back({3.0 * day, plant::Deed::trip, "riser", "", "", 0.0, 0.0});
    EXPECT_NEAR(run(plant).risers[0].low_points[0].oxygen_limit->time, 2.0 * day, 1.0);
    plant.site.temperature = 263.15;
    EXPECT_FALSE(run(plant).risers[0].low_points[0].oxygen_limit);
}

}  // namespace
