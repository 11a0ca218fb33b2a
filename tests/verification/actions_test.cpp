// What is done to a plant on a date (model.md section 7).
#include <cmath>
#include <limits>

#include "oxfade/engine/ensemble.hpp"
#include "oxfade/plant/plant.hpp"
#include "support/hole.hpp"
#include "support/plants.hpp"
#include "support/run.hpp"
#include "support/wet_plants.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;
using plant::Action;
using plant::Deed;

constexpr double volume = 2.0, purity = 0.98;
constexpr double air_oxygen = 0.209476;

Action action(double at, Deed deed, std::string riser = {}, std::string what = {}) {
    return {at, deed, std::move(riser), std::move(what), {}, 0.0, 0.0};
}
Action set(double at, std::string key, double value) {
    return {at, Deed::set, {}, {}, std::move(key), value, 0.0};
}

/// One vessel with a vent that closes at target, filled from the site's pressure.
plant::Plant purging(double duration) {
    plant::Plant plant = purged_vessel(purity, duration, 2e-3);
    plant.risers[0].initial_pressure = plant.site.pressure;
    plant.risers[0].vents[0].policy = plant::OpenUntilTarget{};
    return plant;
}

TEST(Actions, ATripIsTheRunOnceMore) {
    plant::Plant plant = purging(4.0 * day);
    const auto once = run(plant, tight());
    ASSERT_TRUE(once.risers[0].time_to_target);
    plant.actions = {action(2.0 * day, Deed::trip, "riser")};
    plant.actions[0].duration = 3.0 * hour;
    const auto twice = run(plant, tight());
    ASSERT_EQ(twice.stretches.size(), 2U);
    const auto &first = twice.stretches[0].risers[0], &second = twice.stretches[1].risers[0];
    EXPECT_NEAR(*first.time_to_target, *once.risers[0].time_to_target, 1e-3);
    EXPECT_NEAR(*second.time_to_target, *once.risers[0].time_to_target + 3.0 * hour, 1e-2);
    EXPECT_NEAR(*second.fill_time, *once.risers[0].fill_time, 1e-3);
    EXPECT_NEAR(second.supplied, once.risers[0].supplied, 1e-6 * second.supplied);
    EXPECT_EQ(twice.stretches[1].risers[0].oxygen_begin, air_oxygen);
    EXPECT_EQ(twice.risers[0].at_target.size(), 2U);
    EXPECT_NEAR(twice.risers[0].at_target[0].end, 2.0 * day, 1e-6);
    EXPECT_EQ(twice.risers[0].fill_time, once.risers[0].fill_time);
    EXPECT_NEAR(twice.risers[0].lost_in_trips, moles_of(set_pressure - plant.site.pressure, volume), 1e-6);
    EXPECT_NEAR(twice.risers[0].supplied, 2.0 * once.risers[0].supplied, 1e-6 * second.supplied);
}

TEST(Actions, ATripWhileFillingStartsTheFillAgain) {
    plant::Plant plant = purging(1.0 * day);
    const double fill = *run(plant).risers[0].fill_time;
    plant.actions = {action(0.5 * fill, Deed::trip, "riser")};
    const auto out = run(plant);
    EXPECT_NEAR(*out.risers[0].fill_time, 1.5 * fill, 1e-3 * fill);
}

TEST(Actions, TrippedRisersAreFilledInTheirTurn) {
    plant::Plant plant = purging(1.0 * day);
    plant.risers.push_back(plant.risers[0]);
    plant.risers[1].name = "second";
    const double fill = *run(plant).risers[0].fill_time;
    // The first trips while the second is being filled: it waits until that is done.
    plant.actions = {action(1.2 * fill, Deed::trip, "riser")};
    const auto out = run(plant);
    EXPECT_NEAR(*out.risers[1].fill_time, fill, 1e-3 * fill);
    EXPECT_NEAR(*out.stretches[1].risers[0].fill_time, fill, 1e-3 * fill);
    EXPECT_GT(*out.stretches[1].risers[0].time_to_target, 1.8 * fill);
}

TEST(Actions, OutageLeavesTheRiserToItsLeaks) {
    plant::Plant plant = purged_vessel(purity, 3.0 * day);
    plant.risers[0].vents.clear();
    plant.risers[0].leaks.push_back(hole("main", 0.3e-3));
    plant.actions = {action(1.0 * day, Deed::outage), action(2.0 * day, Deed::restore)};
    const auto out = run(plant, tight());
    const double air = air_fraction(out.stretches[1].risers[0].oxygen_end, purity);
    // Choked: the fall is exponential. The gas does not change while nothing comes in.
    const double mass = gas::nitrogen_of_purity(purity).molar_mass() +
                        air * (gas::dry_air().molar_mass() - gas::nitrogen_of_purity(purity).molar_mass());
    const double rate = choked_flow(effective_area(0.3e-3), 1.0, mass) / moles_of(1.0, volume);
    EXPECT_NEAR(out.stretches[1].risers[0].pressure_end / set_pressure, std::exp(-rate * day), 1e-6);
    EXPECT_NEAR(out.stretches[1].risers[0].supplied, 0.0, 1e-9);  // stored and lost, to rounding
    EXPECT_NEAR(out.risers[0].final_pressure, set_pressure, 1.0);
}

TEST(Actions, OutageOfAGeneratorStopsTheMachine) {
    plant::Plant plant = purged_vessel(purity, 2.0 * day);
    plant.source = generator(purity);
    plant.actions = {action(0.5 * day, Deed::outage), action(1.0 * day, Deed::restore)};
    const auto out = run(plant);
    EXPECT_EQ(out.stretches[1].running, 0.0);
    EXPECT_EQ(out.stretches[1].starts, 0);
    EXPECT_GT(out.stretches[2].running, 0.0);
    EXPECT_LT(out.stretches[1].risers[0].lowest, 0.99 * set_pressure);
}

TEST(Actions, AVentThatIsShutLetsNothingOut) {
    plant::Plant plant = purged_vessel(purity, 3.0 * day, 0.5e-3);
    plant.actions = {action(1.0 * day, Deed::shut, "riser", "vent at main"),
                     action(2.0 * day, Deed::open, "riser", "vent at main")};
    const auto out = run(plant, tight());
    EXPECT_EQ(out.stretches[1].risers[0].vented, 0.0);
    EXPECT_EQ(out.stretches[1].risers[0].oxygen_begin, out.stretches[1].risers[0].oxygen_end);
    // The two days it was open are a run of two days.
    plant.actions.clear();
    plant.duration = 2.0 * day;
    const auto two = run(plant, tight());
    EXPECT_NEAR(out.risers[0].pipes[0].oxygen[0] / two.risers[0].pipes[0].oxygen[0], 1.0, 1e-8);
}

TEST(Actions, ASupplyThatIsShutLetsThePressureFall) {
    plant::Plant plant = purged_vessel(purity, 3.0 * hour, 1e-3);
    plant.actions = {action(1.0 * hour, Deed::shut, "riser", "supply"),
                     action(2.0 * hour, Deed::open, "riser", "supply")};
    const auto out = run(plant);
    EXPECT_NEAR(out.stretches[1].risers[0].supplied, 0.0, 1e-9);  // stored and lost, to rounding
    EXPECT_LT(out.stretches[1].risers[0].pressure_end, 0.9 * set_pressure);
    EXPECT_NEAR(out.risers[0].final_pressure, set_pressure, 1.0);
}

TEST(Actions, SettingsCountFromTheirDateOn) {
    plant::Plant plant = purged_vessel(purity, 2.0 * day, 0.5e-3);
    plant.actions = {set(1.0 * day, "riser.riser.vent.'vent at main'.diameter", 1e-3),
                     set(1.0 * day, "riser.riser.set_pressure", 4.5e5)};
    const auto out = run(plant, tight());
    EXPECT_NEAR(out.risers[0].final_pressure, 4.5e5, 1.0);
    const double held = moles_of(set_pressure, volume);
    const double mass = gas::nitrogen_of_purity(purity).molar_mass();
    EXPECT_NEAR(
        out.stretches[0].risers[0].vented / (day * choked_flow(effective_area(0.5e-3), set_pressure, mass)),
        1.0, 0.02);
    EXPECT_NEAR(out.stretches[1].risers[0].vented / (day * choked_flow(effective_area(1e-3), 4.5e5, mass)),
                1.0, 0.02);
    EXPECT_GT(out.stretches[1].risers[0].supplied - out.stretches[1].risers[0].vented, 0.12 * held);
}

TEST(Actions, FlowsOfTheSourceChangeWithoutUpsettingTheBalance) {
    plant::Plant plant = purged_vessel(purity, 3.0 * day, 0.5e-3);
    plant::Generator source = generator(purity);
    source.power = 1e3;
    plant.source = source;
    plant.actions = {set(1.0 * day, "source.nitrogen_flow", 1e-3), set(1.0 * day, "source.power", 2e3),
                     set(2.0 * day, "source.receiver.stop", 8e5)};
    const auto out = run(plant);  // which looks at the balance
    EXPECT_NEAR(*out.source.energy,
                1e3 * out.stretches[0].running + 2e3 * (out.source.running - out.stretches[0].running), 1.0);
}

TEST(Actions, SkippedCyclesStopAtADate) {
    plant::Plant plant = purged_vessel(purity, 20.0 * day, 0.5e-3);
    plant.source = generator(purity);
    plant.actions = {action(6.0 * day, Deed::shut, "riser", "vent at main"),
                     action(9.0 * day, Deed::open, "riser", "vent at main"),
                     action(12.0 * day, Deed::trip, "riser")};
    engine::Options plain;
    const auto quick = run(plant, plain);
    plain.skip_cycles = false;
    const auto slow = run(plant, plain);
    EXPECT_EQ(quick.source.starts, slow.source.starts);
    for (std::size_t k = 0; k < quick.stretches.size(); ++k) {
        const auto &a = quick.stretches[k].risers[0], &b = slow.stretches[k].risers[0];
        EXPECT_NEAR(a.vented, b.vented, 1e-5 * slow.risers[0].vented);
        EXPECT_NEAR(a.oxygen_end, b.oxygen_end, 1e-4 * b.oxygen_end);
    }
}

TEST(Actions, OneAtTheVeryStartActsFromTheStart) {
    plant::Plant plant = purged_vessel(purity, 1.0 * hour);
    plant.actions = {action(0.0, Deed::shut, "riser", "vent at main")};
    const auto out = run(plant);
    ASSERT_EQ(out.stretches.size(), 1U);
    EXPECT_EQ(out.stretches[0].actions.size(), 1U);
    EXPECT_EQ(out.risers[0].vented, 0.0);
}

TEST(Actions, FrictionMayBeResolvedToo) {
    plant::Plant plant = purging(2.0 * day);
    plant.risers[0].pipes = {tube("main", 0.1, 200.0, 3)};
    plant.risers[0].vents[0].at = "main";
    plant.actions = {action(1.0 * day, Deed::trip, "riser")};
    engine::Options options;
    options.resolve_friction = true;
    const auto resolved = run(plant, options), uniform = run(plant);
    ASSERT_TRUE(resolved.stretches[1].risers[0].time_to_target &&
                uniform.stretches[1].risers[0].time_to_target);
    EXPECT_NEAR(
        *resolved.stretches[1].risers[0].time_to_target / *uniform.stretches[1].risers[0].time_to_target, 1.0,
        0.02);
}

/// Sealed off by water, the far vessel keeps its air; drained it is purged; after a trip the water is there
/// again.
TEST(Actions, ATripFillsLowPointsAgain) {
    plant::Plant plant = plant_of(sealed_riser(1.0), cylinders(purity), 6.0 * day);
    plant.risers[0].initial_pressure = plant.site.pressure;
    plant.risers[0].initial_gas = plant::InitialGas::air;
    plant.risers[0].vents = {vent("far", 1e-3)};
    plant.risers[0].vents[0].liquid_stop = true;
    plant.risers[0].vents[0].chamber = 1e-4;
    plant.target = 0.97;
    plant.actions = {action(2.0 * day, Deed::drain, "riser"), action(4.0 * day, Deed::trip, "riser")};
    const auto out = run(plant);
    ASSERT_EQ(out.stretches.size(), 3U);
    const auto stretch = [&](std::size_t k) { return out.stretches[k].risers[0]; };
    EXPECT_GT(stretch(0).oxygen_end, 0.1);  // the liquid stop of its vent is shut
    EXPECT_LT(stretch(1).oxygen_end, 0.022);
    EXPECT_EQ(stretch(2).oxygen_begin, air_oxygen);
    const auto& dip = out.risers[0].low_points[0];
    EXPECT_GT(dip.water_at_end, 0.9 * dip.water_at_start);
    EXPECT_TRUE(dip.closed_at_end || dip.bubbling_at_end);
    EXPECT_TRUE(dip.stopped_at_end);
    // Twice the same: fill, break, carried water, stop.
    EXPECT_NEAR(stretch(2).oxygen_end, stretch(0).oxygen_end, 1e-4);
    EXPECT_NEAR(stretch(2).supplied, stretch(0).supplied, 1e-3 * stretch(0).supplied);
    // Drained in the same instant, it is purged at once.
    plant.actions.push_back(action(4.0 * day, Deed::drain, "riser"));
    const auto drained = run(plant);
    EXPECT_LT(drained.stretches[2].risers[0].oxygen_end, 0.022);
    EXPECT_EQ(drained.risers[0].low_points[0].water_at_end, 0.0);
}

TEST(Actions, WaterAndGasBalanceOverManyTrips) {
    plant::Riser riser = full_riser({tube("main", 0.05, 80.0), tube("far", 0.05, 60.0)});
    riser.low_points = {dip("far", 0.02, 0.01, 0.02)};
    riser.vents = {vent("far", 0.5e-3)};
    plant::Plant plant = plant_of(riser, cylinders(0.99), 2.0 * day);
    plant.site.temperature = plant::DailySwing{288.0, 10.0, day, 0.0};
    for (int k = 1; k < 20; ++k) plant.actions.push_back(action(0.1 * k * day, Deed::trip, "riser"));
    const auto out = run(plant);
    EXPECT_EQ(out.stretches.size(), 20U);
    EXPECT_GT(out.risers[0].lost_in_trips, 0.0);
}

TEST(Actions, AFillThatAShutSupplyInterruptsGoesOn) {
    plant::Plant plant = purging(1.0 * day);
    const double fill = *run(plant).risers[0].fill_time;
    plant.actions = {action(0.5 * fill, Deed::shut, "riser", "supply"),
                     action(0.5 * fill + hour, Deed::open, "riser", "supply")};
    const auto out = run(plant);
    EXPECT_NEAR(*out.risers[0].fill_time, fill + hour, 0.01 * fill);
    EXPECT_NEAR(out.stretches[1].risers[0].supplied, 0.0, 1e-9);
}

TEST(Actions, ALeakMayOpenAndCloseOnADate) {
    plant::Plant plant = purged_vessel(purity, 3.0 * day);
    plant.risers[0].vents.clear();
    plant.risers[0].leaks.push_back(hole("main", 0.1e-3));
    plant.actions = {set(1.0 * day, "riser.riser.leak.0.diameter", 1e-3),
                     set(2.0 * day, "riser.riser.leak.0.diameter", 0.1e-3)};
    const auto out = run(plant, tight());
    const double first = out.stretches[0].risers[0].leaked, second = out.stretches[1].risers[0].leaked;
    EXPECT_NEAR(second / first, 100.0, 2.0);  // nitrogen is lighter than the air it began with
    EXPECT_NEAR(out.stretches[2].risers[0].leaked / first, 1.0, 0.02);
}

TEST(Actions, MemberOfAnEnsembleGetsWhatARunOfItsOwnGets) {
    plant::Plant plant = purged_vessel(purity, 10.0 * day, 0.5e-3);
    plant.source = generator(purity);
    plant.actions = {action(5.0 * day, Deed::trip, "riser")};
    const auto alone = run(plant);
    const std::vector<plant::Plant> plants(3, plant);
    for (const engine::Trial& trial : engine::predict_many(plants)) {
        ASSERT_TRUE(trial.done()) << trial.error;
        EXPECT_NEAR(trial.risers[0].vented / alone.risers[0].vented, 1.0, 1e-6);
        EXPECT_NEAR(trial.time_to_target / *alone.risers[0].time_to_target, 1.0, 1e-6);
    }
}

}  // namespace
