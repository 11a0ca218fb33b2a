// Seals of water against what statics says of them (model.md section 9, eq. 15): vessels known by volume
// alone, so that there is a seal and nothing else; every hole is choked, so that pressures fall as
// exponentials.
#include <cmath>
#include <numbers>

#include "oxfade/flow/dip.hpp"
#include "support/run.hpp"
#include "support/wet_plants.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

constexpr double temperature = 293.15;

const outcome::LowPointOutcome& first_low_point(const outcome::Outcome& out) {
    return out.risers[0].low_points[0];
}

/// Time constant of a choked hole on a volume of air [s].
double time_constant(double volume, double diameter, double coefficient) {
    const double area = coefficient * std::numbers::pi / 4.0 * diameter * diameter;
    const double gamma = 1.4;
    const double psi = std::sqrt(gamma * std::pow(2.0 / (gamma + 1.0), (gamma + 1.0) / (gamma - 1.0)));
    const double speed = std::sqrt(gas::gas_constant * temperature / gas::dry_air().molar_mass());
    return volume / (area * psi * speed);
}

class SealOfHeight : public testing::TestWithParam<double> {};

TEST_P(SealOfHeight, BreaksWhenTheFarSideHasFallenByItsStrength) {
    const double strength = flow::seal_strength(GetParam(), temperature);
    EXPECT_NEAR(strength, 998.2 * 9.80665 * GetParam(), 1e-4 * strength);
    plant::Riser riser = sealed_riser(GetParam());
    riser.leaks = {hole("far", 0.5e-3)};
    const auto out = run(plant_of(riser, cylinders(purity_as_heavy_as_air()), 2.0 * day), tight());
    const double tau = time_constant(0.5 - 1e-3, 0.5e-3, 0.8);
    const auto& water = first_low_point(out);
    ASSERT_TRUE(water.first_break);
    const double expected = -tau * std::log1p(-strength / set_pressure);
    EXPECT_NEAR(*water.first_break, expected, 1e-6 * expected + 1e-3);
    EXPECT_NEAR(out.risers[0].final_pressure, set_pressure, 1e-6 * set_pressure);
    EXPECT_NEAR(water.pressure_behind, set_pressure - strength, 1e-6 * set_pressure);
    EXPECT_TRUE(water.bubbling_at_end);
    EXPECT_EQ(water.breaks, 1);
}

TEST_P(SealOfHeight, HoldsBackFromTheFill) {
    plant::Riser riser = sealed_riser(GetParam());
    riser.initial_pressure.reset();
    riser.fill = {2e-3, 0.8};
    const auto out = run(plant_of(riser, cylinders(0.99), 6.0 * hour));
    const double strength = flow::seal_strength(GetParam(), temperature);
    const auto& water = first_low_point(out);
    EXPECT_NEAR(water.pressure_behind, out.risers[0].final_pressure - strength, 1.0);
    EXPECT_TRUE(water.closed_at_end);
    EXPECT_FALSE(water.bubbling_at_end);
    EXPECT_EQ(water.breaks, 1);
}

TEST_P(SealOfHeight, GasComesBackWhenTheNearSideFalls) {
    plant::Riser riser = sealed_riser(GetParam());
    riser.leaks = {hole("main", 1e-3)};
    const auto out = run(plant_of(riser, no_source(), 6.0 * hour));
    const double strength = flow::seal_strength(GetParam(), temperature);
    const auto& water = first_low_point(out);
    EXPECT_NEAR(water.pressure_behind, out.risers[0].final_pressure + strength, 1.0);
    EXPECT_EQ(water.breaks, 1);
}

INSTANTIATE_TEST_SUITE_P(Rises, SealOfHeight, testing::Values(0.02, 0.2032, 1.0));

TEST(Seals, BelowItsStrengthNothingPasses) {
    plant::Riser riser = sealed_riser(0.5);
    riser.leaks = {hole("far", 0.2e-3)};
    const double tau = time_constant(0.5 - 1e-3, 0.2e-3, 0.8);
    const double strength = flow::seal_strength(0.5, temperature);
    const double until = -0.9 * tau * std::log1p(-strength / set_pressure);
    const auto out = run(plant_of(riser, cylinders(purity_as_heavy_as_air()), until), tight());
    EXPECT_EQ(first_low_point(out).breaks, 0);
    EXPECT_NEAR(first_low_point(out).pressure_behind, set_pressure * std::exp(-until / tau),
                1e-7 * set_pressure);
    EXPECT_EQ(out.risers[0].pipes[1].oxygen[0], gas::dry_air()[gas::Species::oxygen]);
    EXPECT_NEAR(first_low_point(out).closed_time, until, 1e-9 * until);
}

TEST(Seals, FromSlopesEachWayHasItsOwnStrength) {
    const flow::Dip geometry{0.05, 0.02, 0.01};
    const double water = 1.5 * flow::closing_volume(geometry);
    plant::Riser riser = full_riser({tube("main", 0.05, 300.0), tube("far", 0.05, 200.0)});
    riser.low_points = {dip("far", 0.02, 0.01, water)};
    const flow::DipWater stand = flow::water_in_dip(geometry, water);
    ASSERT_GT(stand.rise_before, 1.9 * stand.rise_behind);
    const auto difference = [&](const char* leaking, plant::Source source) {
        riser.leaks = {hole(leaking, 0.5e-3)};
        const auto out = run(plant_of(riser, std::move(source), 600.0));
        EXPECT_GE(first_low_point(out).breaks, 1) << leaking;
        return out.risers[0].final_pressure - first_low_point(out).pressure_behind;
    };
    // Evaporation lowers it by some 0.1 % in that time.
    const double behind = flow::seal_strength(stand.rise_behind, temperature);
    const double before = flow::seal_strength(stand.rise_before, temperature);
    EXPECT_NEAR(difference("far", cylinders(0.99)), behind, 0.01 * behind + 1.0);
    EXPECT_NEAR(difference("main", no_source()), -before, 0.01 * before + 1.0);
}

TEST(Seals, WaterThatDoesNotCloseTheBoreMattersLittle) {
    const double water = 0.3 * flow::closing_volume({0.05, 0.02, 0.01});
    plant::Riser riser = full_riser({tube("main", 0.05, 300.0), tube("far", 0.05, 200.0)});
    riser.vents = {vent("far", 0.5e-3)};
    plant::Plant dry = plant_of(riser, cylinders(0.99), 2.0 * day);
    plant::Plant wet = dry;
    wet.risers[0].low_points = {dip("far", 0.02, 0.01, water)};
    const auto without = run(dry), with = run(wet);
    EXPECT_EQ(first_low_point(with).breaks, 0);
    EXPECT_EQ(first_low_point(with).closed_time, 0.0);
    ASSERT_TRUE(with.risers[0].time_to_target && without.risers[0].time_to_target);
    EXPECT_NEAR(*with.risers[0].time_to_target, *without.risers[0].time_to_target,
                0.02 * *without.risers[0].time_to_target);
    EXPECT_NE(*with.risers[0].time_to_target, *without.risers[0].time_to_target);
}

/// Far vent behind a trap of 2 in pipe, with a liquid stop; the riser fills at once.
plant::Plant carrying(bool liquid_stop, double chamber) {
    plant::Riser riser = full_riser({tube("main", 0.05, 100.0), tube("far", 0.05, 50.0)});
    riser.vents = {vent("far", 0.4e-3)};
    riser.vents[0].liquid_stop = liquid_stop;
    riser.vents[0].chamber = chamber;
    riser.low_points = {trap("far", 0.2, 1e-3)};
    return plant_of(riser, cylinders(0.99), 3.0 * day);
}

TEST(CarriedWater, FillsTheChamberAndShutsTheStop) {
    const auto out = run(carrying(true, 1e-4));
    const auto& water = first_low_point(out);
    EXPECT_EQ(water.stopped_vent, "vent at far");
    EXPECT_TRUE(water.stopped_at_end);
    EXPECT_NEAR(water.carried, 1e-4, 1e-12);
    EXPECT_TRUE(water.closed_at_end);
    EXPECT_EQ(out.risers[0].not_met_because, outcome::Code::liquid_stop_shut);
    ASSERT_TRUE(out.risers[0].time_without_water);
    const auto dry = [&] {
        plant::Plant plant = carrying(true, 1e-4);
        plant.risers[0].low_points.clear();
        return run(plant);
    }();
    EXPECT_EQ(*out.risers[0].time_without_water, *dry.risers[0].time_to_target);
    EXPECT_GT(out.risers[0].pipes[1].oxygen[0], 0.2);  // it keeps its air
}

TEST(CarriedWater, FitsALargeChamber) {
    const auto out = run(carrying(true, 1e-2));
    const auto& water = first_low_point(out);
    EXPECT_TRUE(water.stopped_vent.empty());
    EXPECT_NEAR(water.carried, std::numbers::pi / 4.0 * 0.05 * 0.05 * 0.2, 1e-8);
    EXPECT_TRUE(out.risers[0].time_to_target);  // gas bubbles on through what is left
}

TEST(CarriedWater, LeavesThroughAVentWithoutAStop) {
    const auto out = run(carrying(false, 0.0));
    EXPECT_TRUE(first_low_point(out).stopped_vent.empty());
    EXPECT_NEAR(first_low_point(out).carried, std::numbers::pi / 4.0 * 0.05 * 0.05 * 0.2, 1e-8);
    EXPECT_TRUE(out.risers[0].time_to_target);
}

TEST(Draining, GivesTheWayBack) {
    plant::Plant plant = carrying(true, 1e-4);
    plant.duration = 6.0 * day;
    plant.actions = {{2.0 * day, plant::Deed::drain, "riser", "dip on far", "", 0.0}};
    const auto out = run(plant);
    const auto& water = first_low_point(out);
    EXPECT_EQ(water.drained_at, 2.0 * day);
    EXPECT_EQ(water.water_at_end, 0.0);
    EXPECT_FALSE(water.closed_at_end || water.bubbling_at_end);
    EXPECT_FALSE(water.stopped_at_end);
    EXPECT_NEAR(water.closed_time, 2.0 * day, 2.0 * hour);
    EXPECT_NEAR(water.pressure_behind, out.risers[0].final_pressure, 1.0);
    ASSERT_TRUE(out.risers[0].time_to_target);
    EXPECT_GT(*out.risers[0].time_to_target, 2.0 * day);
    // From then on as the same riser without water, which has had two days less to purge its near side.
    plant.actions.clear();
    plant.risers[0].low_points.clear();
    EXPECT_LT(*out.risers[0].time_to_target - 2.0 * day, 1.1 * *run(plant).risers[0].time_to_target);
}

TEST(Draining, EveryLowPointOfARiserAtOnce) {
    plant::Riser riser =
        full_riser({vessel("main", 2.0), vessel("far", 0.5), on(vessel("side", 0.3), "main")});
    riser.leaks = {hole("far", 0.3e-3), hole("side", 0.3e-3)};
    riser.low_points = {trap("far", 0.3), trap("side", 0.6)};
    plant::Plant plant = plant_of(riser, cylinders(0.99), day);
    plant.actions = {{0.5 * day, plant::Deed::drain, "riser", "", "", 0.0}};
    const auto out = run(plant);
    for (const auto& water : out.risers[0].low_points) {
        EXPECT_EQ(water.drained_at, 0.5 * day);
        EXPECT_NEAR(water.pressure_behind, out.risers[0].final_pressure, 1e-3);
    }
}

TEST(Seals, FrictionIsRefusedPastWater) {
    engine::Options options;
    options.resolve_friction = true;
    EXPECT_THROW(engine::predict(carrying(true, 1e-4), options), InputError);
}

TEST(Seals, WaterOnALoopIsRefused) {
    plant::Riser riser =
        full_riser({tube("main", 0.05, 100.0), tube("a", 0.05, 50.0), on(tube("b", 0.05, 50.0), "main")});
    riser.links = {{"a", "b"}};
    riser.low_points = {trap("a", 0.2)};
    EXPECT_THROW(engine::predict(plant_of(riser, cylinders(0.99), day)), InputError);
}

/// A switch lets the riser breathe: the far side takes gas in at each rise and gives some back at each fall.
TEST(Seals, BreathingBringsGasThrough) {
    plant::Riser riser = full_riser({vessel("main", 2.0), vessel("far", 0.5)});
    riser.supply = plant::PressureSwitch{{2e-3, 0.8}, 0.9 * set_pressure, set_pressure};
    riser.leaks = {hole("main", 0.5e-3)};
    riser.low_points = {trap("far", 0.1)};
    const auto out = run(plant_of(riser, cylinders(0.99), 3.0 * day));
    EXPECT_GT(first_low_point(out).breaks, 10);
    const double far = out.risers[0].pipes[1].oxygen[0], near = out.risers[0].pipes[0].oxygen[0];
    EXPECT_LT(far, 0.15);
    EXPECT_GT(far, near + 0.01);
}

}  // namespace
