// Temperatures that move, against the ideal-gas law (model.md eq. 5 and section 10).
#include <cmath>
#include <numbers>

#include "support/hole.hpp"
#include "support/plants.hpp"
#include "support/run.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

constexpr double mean = 283.15, swing = 10.0, volume = 2.0;
constexpr double cold = mean - 0.5 * swing, warm = mean + 0.5 * swing;

/// Coldest after a quarter of a day.
plant::DailySwing daily() { return {mean, swing, day, 0.75 * day}; }

plant::Plant shut_vessel(plant::Temperature temperature, plant::Source source, double duration) {
    plant::Plant plant = plant_of(full_riser({vessel("main", volume)}), std::move(source), duration);
    plant.site.temperature = std::move(temperature);
    return plant;
}

double supplied(const outcome::Outcome& out) { return out.risers[0].supplied; }
double held_moles(double temperature, double pressure = set_pressure) {
    return moles_of(pressure, volume, temperature);
}

TEST(Breathing, PressureOfATightRiserFollowsItsTemperature) {
    plant::Plant plant = shut_vessel(daily(), no_source(), 3.0 * day);
    const auto out = run(plant);
    for (std::size_t k = 0; k < out.history.times.size(); ++k) {
        const double temperature = plant.site.temperature.at(out.history.times[k]);
        EXPECT_NEAR(out.history.pressure.at(k, 0), set_pressure * temperature / mean, 1e-6);
    }
}

TEST(Breathing, TenKelvinAtFortyPsigAreNearlyTwoPsi) {
    plant::Riser riser = full_riser({vessel("main", volume)});
    riser.set_pressure = psig(40.0);
    riser.initial_pressure = riser.set_pressure;
    plant::Plant plant = plant_of(std::move(riser), no_source(), 7.0 * hour);
    plant.site.temperature = plant::TemperatureTable{{{0.0, 293.15}, {6.0 * hour, 283.15}}, {}};
    const auto out = run(plant);
    EXPECT_NEAR((psig(40.0) - out.risers[0].final_pressure) / psi, 1.87, 0.005);
}

TEST(Breathing, ARegulatorMakesUpForTheFirstCoolingAndNothingAfterIt) {
    const auto out = run(shut_vessel(daily(), cylinders(0.98), 4.0 * day), tight());
    const double taken = held_moles(cold) - held_moles(mean);
    EXPECT_NEAR(supplied(out) / taken, 1.0, 1e-6);
    EXPECT_NEAR(out.risers[0].highest_in_service, set_pressure * warm / cold, 1.0);
    EXPECT_NEAR(out.risers[0].lowest_in_service, set_pressure, 1e-3 * set_pressure * 1e-3);
}

TEST(Breathing, DefaultTolerancesHoldToo) {
    const auto out = run(shut_vessel(daily(), cylinders(0.98), 4.0 * day));
    EXPECT_NEAR(supplied(out) / (held_moles(cold) - held_moles(mean)), 1.0, 1e-3);
}

/// A vent that lets out what the set pressure is exceeded by: the riser breathes in and out every day.
TEST(Breathing, EveryDayBreathesInAndOutWhatTheSwingAsksFor) {
    plant::Plant plant = shut_vessel(daily(), cylinders(0.98), 6.25 * day);
    const double high = set_pressure * (1.0 + 2e-4);
    plant.risers[0].vents.push_back(
        vent("main", 2e-3, plant::OpenBetween{high, set_pressure * (1.0 + 1e-6)}));
    const auto out = run(plant, tight(1e-9));
    const double breath = held_moles(cold) - held_moles(warm);
    // First a quarter, coldest; then six days to the seventh coldest moment.
    EXPECT_NEAR(supplied(out), held_moles(cold) - held_moles(mean) + 6.0 * breath, 0.03 * breath);
    EXPECT_NEAR(out.risers[0].vented, 6.0 * breath, 0.03 * breath);
}

TEST(Breathing, ColdRoomBesideAWarmRiserRoom) {
    plant::Riser riser = full_riser({vessel("main", volume)});
    riser.initial_pressure = 101325.0;
    riser.temperature = 253.15;
    plant::Plant plant = plant_of(std::move(riser), cylinders(0.98), 2.0 * hour);
    const auto out = run(plant, tight());
    EXPECT_NEAR(supplied(out), held_moles(253.15) - held_moles(253.15, 101325.0), 1e-6);
    EXPECT_NEAR(out.risers[0].final_pressure, set_pressure, 1.0);
}

TEST(Breathing, ATableOfOneEntryIsThatConstant) {
    plant::Plant plant = purged_vessel(0.98, 2.0 * day);
    plant.source = generator();
    const auto constant = run(plant);
    plant.site.temperature = plant::TemperatureTable{{{0.0, 293.15}}, {}};
    const auto table = run(plant);
    EXPECT_EQ(constant.risers[0].vented, table.risers[0].vented);
    EXPECT_EQ(constant.effort.steps, table.effort.steps);
    EXPECT_EQ(constant.risers[0].time_to_target, table.risers[0].time_to_target);
}

/// Generator, receiver and riser in two climates, a leak and a vent: all that can move moves.
plant::Plant busy() {
    plant::Riser riser = full_riser({vessel("main", 1.5), tube("far", 0.05, 60.0, 3)});
    riser.initial_pressure = 101325.0;
    riser.vents.push_back(vent("far", 0.6e-3));
    riser.leaks.push_back(hole("main", 0.2e-3));
    riser.temperature =
        plant::TemperatureTable{{{0.0, 270.0}, {8.0 * hour, 262.0}, {9.0 * hour, 274.0}}, 24.0 * hour};
    plant::Plant plant = plant_of(std::move(riser), generator(), 4.0 * day);
    plant.site.temperature = daily();
    return plant;
}

TEST(Breathing, BothMethodsAgree) {
    auto options = tight(1e-9);
    const auto implicit = run(busy(), options);
    options.method = engine::Method::dormand_prince;
    const auto explicit_ = run(busy(), options);
    const auto &a = implicit.risers[0], &b = explicit_.risers[0];
    EXPECT_NEAR(a.vented / b.vented, 1.0, 1e-6);
    EXPECT_NEAR(a.supplied / b.supplied, 1.0, 1e-6);
    ASSERT_TRUE(a.time_to_target && b.time_to_target);
    EXPECT_NEAR(*a.time_to_target / *b.time_to_target, 1.0, 1e-5);
    EXPECT_EQ(implicit.source.starts, explicit_.source.starts);
}

TEST(Breathing, DefaultTolerancesAreWithinATenthOfAPercent) {
    const auto rough = run(busy()), fine = run(busy(), tight(1e-9));
    ASSERT_TRUE(rough.risers[0].time_to_target && fine.risers[0].time_to_target);
    EXPECT_NEAR(*rough.risers[0].time_to_target / *fine.risers[0].time_to_target, 1.0, 1e-3);
    for (std::size_t c = 0; c < 3; ++c) {
        EXPECT_NEAR(rough.risers[0].pipes[1].oxygen[c] / fine.risers[0].pipes[1].oxygen[c], 1.0, 1e-3);
    }
}

TEST(Breathing, ResolvedFrictionAgrees) {
    plant::Plant plant = busy();
    plant.risers[0].pipes[0] = tube("main", 0.15, 85.0, 1);
    const auto uniform = run(plant);
    engine::Options options;
    options.resolve_friction = true;
    const auto resolved = run(plant, options);
    ASSERT_TRUE(uniform.risers[0].time_to_target && resolved.risers[0].time_to_target);
    EXPECT_NEAR(*resolved.risers[0].time_to_target / *uniform.risers[0].time_to_target, 1.0, 5e-3);
    EXPECT_NEAR(resolved.risers[0].vented / uniform.risers[0].vented, 1.0, 5e-3);
}

}  // namespace
