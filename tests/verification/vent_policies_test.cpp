// Vents: how long each policy keeps them open, read from what they pass at a constant flow.
#include <cmath>

#include "support/hole.hpp"
#include "support/plants.hpp"
#include "support/run.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

constexpr double vent_diameter = 1e-3;

/// One vessel that is filled from 3 bar, then held; gases of one molar mass.
plant::Plant vented_vessel(plant::VentPolicy policy, double duration) {
    plant::Plant plant = purged_vessel(purity_as_heavy_as_air(), duration);
    plant::Riser& riser = plant.risers[0];
    riser.initial_pressure = 3e5;
    riser.fill = {3e-3, 0.8};
    riser.supply = plant::Regulator{{2e-3, 0.8}};
    riser.vents[0].policy = policy;
    return plant;
}

double fill_time() { return moles_of(1e5, 2.0) / choked_flow(effective_area(3e-3), 20e5, air_mass()); }

double vent_flow() { return choked_flow(effective_area(vent_diameter), set_pressure, air_mass()); }

double seconds_open(const outcome::Outcome& out) { return out.risers[0].vented / vent_flow(); }

TEST(VentPolicies, AlwaysOpensWithTheEndOfTheFill) {
    const auto out = run(vented_vessel(plant::OpenAlways{}, 5000.0));
    EXPECT_NEAR(out.risers[0].fill_time.value_or(0.0), fill_time(), 1e-3);
    EXPECT_NEAR(seconds_open(out), 5000.0 - fill_time(), 2e-3);
    EXPECT_NEAR(out.risers[0].lowest_in_service, set_pressure, 1e-3);
}

TEST(VentPolicies, UntilATimeCountedFromTheStartOfTheRun) {
    for (const double until : {1000.0, 3333.0, 5000.0, 9000.0}) {
        const auto out = run(vented_vessel(plant::OpenUntil{until}, 5000.0));
        EXPECT_NEAR(seconds_open(out), std::min(until, 5000.0) - fill_time(), 2e-3) << until;
    }
}

TEST(VentPolicies, UntilATimeBeforeTheFillIsCompleteNeverOpens) {
    EXPECT_EQ(run(vented_vessel(plant::OpenUntil{0.5 * fill_time()}, 5000.0)).risers[0].vented, 0.0);
}

TEST(VentPolicies, TimedOpensEveryPeriodForItsDuration) {
    const plant::OpenTimed policy{700.0, 130.0};
    for (const double after : {60.0, 130.0, 400.0, 699.0, 760.0, 7000.0, 7129.0, 7131.0}) {
        const auto out = run(vented_vessel(policy, fill_time() + after));
        const double periods = std::floor(after / policy.every);
        const double open =
            periods * policy.duration + std::min(policy.duration, after - periods * policy.every);
        EXPECT_NEAR(seconds_open(out), open, 2e-3) << after;
    }
}

TEST(VentPolicies, TimedKeepsItsDatesOverManyPeriods) {
    const auto out = run(vented_vessel(plant::OpenTimed{60.0, 1.0}, fill_time() + 60.0 * 5000.0 + 30.0));
    EXPECT_NEAR(seconds_open(out), 5001.0, 5e-2);
}

TEST(VentPolicies, NoVentOpensWhileItsRiserIsNotFull) {
    plant::Plant plant = vented_vessel(plant::OpenAlways{}, 5000.0);
    plant.source = cylinders(0.98, 1e6, 3.9e5);
    const auto out = run(plant);
    EXPECT_FALSE(out.risers[0].fill_time);
    EXPECT_EQ(out.risers[0].vented, 0.0);
}

/// Two pipes purged until target from a receiver that is later topped up with air.
plant::Plant spoiled_plant(double duration) {
    plant::Riser riser = full_riser({vessel("near", 0.5), vessel("far", 0.2)});
    riser.vents.push_back(vent("far", 2e-3, plant::OpenUntilTarget{}));
    riser.leaks.push_back(hole("far", 1e-3));
    plant::Generator source = generator(0.99);
    source.nitrogen_flow = 1e-6;  // soon falls back on air
    source.receiver = {6.0, 9e5, 10e5, 10e5, plant::InitialGas::source};
    source.air_below = 8e5;
    plant::Plant plant = plant_of(std::move(riser), source, duration);
    plant.target = 0.95;
    return plant;
}

TEST(VentPolicies, UntilTargetShutsOnceAndForAll) {
    const auto out = run(spoiled_plant(40000.0), tight());
    ASSERT_FALSE(out.risers[0].at_target.empty());
    const auto first = out.risers[0].at_target.front();
    ASSERT_LT(first.end, 40000.0) << "the target was to be lost again";
    EXPECT_FALSE(out.risers[0].time_to_target);
    const auto up_to_target = run(spoiled_plant(first.begin), tight());
    EXPECT_GT(out.risers[0].vented, 1.0);
    EXPECT_NEAR(out.risers[0].vented, up_to_target.risers[0].vented, 1e-6);
    EXPECT_EQ(out.risers[0].not_met_because, outcome::Code::vents_above_separator);
}

TEST(VentPolicies, UntilTargetWaitsForTheLastCompartment) {
    const auto out = run(spoiled_plant(40000.0), tight());
    const double shut = out.risers[0].at_target.front().begin;
    const auto then = run(spoiled_plant(shut), tight());
    const auto& near = then.risers[0].pipes[0];
    const auto& far = then.risers[0].pipes[1];
    EXPECT_NEAR(far.oxygen[0], 0.05, 1e-9);
    EXPECT_LT(near.oxygen[0], 0.04);
}

TEST(VentPolicies, SeveralVentsOfOneRiserActEachByItsOwnRule) {
    plant::Plant plant = vented_vessel(plant::OpenAlways{}, 5000.0);
    plant.risers[0].vents.push_back(vent("main", vent_diameter, plant::OpenUntil{2000.0}));
    plant.risers[0].vents.push_back(vent("main", vent_diameter, plant::OpenTimed{1000.0, 100.0}));
    plant.risers[0].vents[1].name = "second";
    plant.risers[0].vents[2].name = "third";
    const double after = 5000.0 - fill_time();
    ASSERT_GT(after, 4100.0);
    const auto out = run(plant);
    EXPECT_NEAR(seconds_open(out), after + (2000.0 - fill_time()) + 5.0 * 100.0, 1e-2);
}

}  // namespace
