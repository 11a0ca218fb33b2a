// Pressure maintenance: a regulator that sags and recovers, a pressure switch, and thresholds in common.
#include <cmath>

#include "engine/simulation.hpp"
#include "oxfade/error.hpp"
#include "support/hole.hpp"
#include "support/plants.hpp"
#include "support/run.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

constexpr double volume = 1.0, hole_diameter = 1.5e-3, supply_diameter = 0.5e-3;

/// Rate constant of a vessel that loses gas through the hole [1/s].
double loss_rate() {
    return choked_flow(effective_area(hole_diameter), 1.0, air_mass()) / moles_of(1.0, volume);
}
/// What the supply orifice passes from cylinders, as a rise of pressure [Pa/s].
double supply_rate() {
    return choked_flow(effective_area(supply_diameter), 20e5, air_mass()) / moles_of(1.0, volume);
}

plant::Plant vessel_with(plant::Supply supply) {
    plant::Riser riser = full_riser({vessel("main", volume)});
    riser.supply = supply;
    return plant_of(std::move(riser), cylinders(purity_as_heavy_as_air()), 1.0);
}

TEST(Regulator, SagsWhileAVentTakesMoreThanItsOrificePasses) {
    plant::Plant plant = vessel_with(plant::Regulator{{supply_diameter, 0.8}});
    const double open = 500.0, period = 4000.0;
    plant.risers[0].vents.push_back(vent("main", hole_diameter, plant::OpenTimed{period, open}));
    const double balance = supply_rate() / loss_rate();  // where the pressure would settle
    ASSERT_GT(balance, 1.95e5);
    ASSERT_LT(balance, 0.9 * set_pressure);
    const double lowest = balance + (set_pressure - balance) * std::exp(-loss_rate() * open);
    const double recovery = (set_pressure - lowest) / supply_rate();
    ASSERT_LT(recovery, period - open);
    plant.duration = open + 0.5 * recovery;
    const auto half_way = run(plant, tight());
    EXPECT_NEAR(half_way.risers[0].lowest_in_service, lowest, 1e-3);
    EXPECT_NEAR(half_way.risers[0].final_pressure, 0.5 * (lowest + set_pressure), 1e-2);
    plant.duration = open + 2.0 * recovery;
    const auto after = run(plant, tight());
    EXPECT_NEAR(after.risers[0].final_pressure, set_pressure, 1e-4);
    EXPECT_NEAR(after.risers[0].highest_in_service, set_pressure, 1e-4);
    plant.duration = period * 3.0;
    EXPECT_NEAR(run(plant, tight()).risers[0].lowest_in_service, lowest, 1e-2);
}

TEST(Regulator, SagsWhenTheReceiverFalls) {
    // No machine to speak of: the receiver is emptied through a riser that holds, until the orifice cannot.
    plant::Plant plant = vessel_with(plant::Regulator{{1.6e-3, 0.8}});
    plant.risers[0].leaks.push_back(hole("main", hole_diameter));
    plant::Generator source = generator(purity_as_heavy_as_air());
    source.nitrogen_flow = source.air_flow = 1e-9;
    source.receiver = {5.0, 2.0, 30e5, 20e5, plant::InitialGas::source};
    source.air_below = 1.0;
    plant.source = source;
    const double draw = choked_flow(effective_area(hole_diameter), set_pressure, air_mass());
    // Unchoked: hole_flow(p) = draw has its root a little above the set pressure.
    double low = set_pressure, high = 20e5;
    while (high - low > 1e-6) {
        const double p = 0.5 * (low + high);
        (hole_flow(effective_area(1.6e-3), p, set_pressure, 293.15, air_mass()) < draw ? low : high) = p;
    }
    const double sag = moles_of(20e5 - high, 5.0) / draw;
    plant.duration = sag - 0.01;
    EXPECT_NEAR(run(plant, tight()).risers[0].lowest_in_service, set_pressure, 1e-6);
    plant.duration = sag + 60.0;
    const double lowest = run(plant, tight()).risers[0].lowest_in_service;
    EXPECT_LT(lowest, set_pressure - 1.0);
    EXPECT_GT(lowest, set_pressure * (1.0 - 60.0 * loss_rate()));
}

TEST(Regulator, ThatCannotHoldAfterTheFillDoesNotFlip) {
    // The receiver stands barely above the riser when the fill ends.
    const auto out = run(two_pipe_riser(0.08 * inch));
    EXPECT_LT(out.risers[0].lowest_in_service, psig(30.0) - 1.0);
    EXPECT_LT(out.effort.events, 20000);
}

TEST(PressureSwitch, CyclesBetweenLowAndHigh) {
    const double low = 2.5e5, high = 3.5e5, first = 3e5;
    plant::Plant plant = vessel_with(plant::PressureSwitch{{0.8e-3, 0.8}, low, high});
    plant.risers[0].set_pressure = plant.risers[0].initial_pressure.emplace(first);
    plant.risers[0].leaks.push_back(hole("main", hole_diameter));
    const double rise = supply_rate() * 0.64 / 0.25, balance = rise / loss_rate();
    ASSERT_GT(balance, 1.1 * high);
    const double fall_time = std::log(high / low) / loss_rate();
    const double rise_time = std::log((balance - low) / (balance - high)) / loss_rate();
    const double before = std::log(first / low) / loss_rate();  // shut after the fill
    plant.duration = before + 10.0 * (rise_time + fall_time) + rise_time + 0.5 * fall_time;
    const auto out = run(plant, tight());
    EXPECT_NEAR(out.risers[0].final_pressure / std::sqrt(low * high), 1.0, 1e-7);
    EXPECT_NEAR(out.risers[0].lowest_in_service, low, 1e-4);
    EXPECT_NEAR(out.risers[0].highest_in_service, high, 1e-4);
    EXPECT_NEAR(run(plant).risers[0].final_pressure / std::sqrt(low * high), 1.0, 1e-3);
}

TEST(PressureSwitch, StaysOpenAfterAFillThatEndsBelowItsLow) {
    const double low = 3e5, high = 3.5e5;
    plant::Plant plant = vessel_with(plant::PressureSwitch{{supply_diameter, 0.8}, low, high});
    plant.risers[0].set_pressure = plant.risers[0].initial_pressure.emplace(2.5e5);
    plant.duration = 0.5 * (high - 2.5e5) / supply_rate();
    EXPECT_NEAR(run(plant, tight()).risers[0].final_pressure, 3e5, 1e-3);
    plant.duration *= 3.0;
    EXPECT_NEAR(run(plant, tight()).risers[0].final_pressure, high, 1e-3);
}

TEST(PressureSwitch, StaysShutAfterAFillThatEndsAboveItsLow) {
    plant::Plant plant = vessel_with(plant::PressureSwitch{{supply_diameter, 0.8}, 3e5, 5e5});
    plant.duration = 5000.0;
    EXPECT_NEAR(run(plant).risers[0].final_pressure, set_pressure, 1e-6);
}

/// The limits of a plant refuse what flips for ever; the engine has to say so all the same.
void run_unchecked(const plant::Plant& plant) {
    const engine::Network net = engine::build_network(plant);
    engine::Simulation(plant, net, engine::Options{}).run();
}

TEST(Flipping, OfAThimbleReceiverIsAnErrorThatNamesTheSwitches) {
    plant::Plant plant = purged_vessel(0.98, 10.0 * day);
    plant::Generator source = generator();
    source.receiver.volume = 1e-9;
    plant.source = source;
    try {
        run_unchecked(plant);
        FAIL() << "no error";
    } catch (const ComputationError& error) {
        EXPECT_THAT(error.what(), ::testing::HasSubstr("flip for ever"));
        EXPECT_THAT(error.what(), ::testing::HasSubstr("source"));
        EXPECT_LT(error.time_s(), 1.0);
        EXPECT_THAT(error.mode(), ::testing::HasSubstr("riser"));
    }
}

TEST(Flipping, OfAVentInATinyVesselIsAnErrorToo) {
    plant::Plant plant = purged_vessel(0.98, 10.0 * day, 5e-3);
    plant::Riser& riser = plant.risers[0];
    riser.pipes[0].shape = plant::VolumeOnly{1e-9};
    riser.supply = plant::PressureSwitch{{5e-3, 0.8}, 3.9e5, 4e5};
    riser.vents[0].policy = plant::OpenBetween{4e5, 3.9e5};
    try {
        run_unchecked(plant);
        FAIL() << "no error";
    } catch (const ComputationError& error) {
        EXPECT_THAT(error.what(), ::testing::HasSubstr("supply of riser 'riser'"));
        EXPECT_THAT(error.what(), ::testing::HasSubstr("vent at main"));
    }
}

TEST(Flipping, ManyHonestEventsAreNoError) {
    plant::Plant plant = purged_vessel(0.98, 60000.0);
    plant::Generator source = generator();
    source.receiver.volume = 2.6e-3;  // starts about every half minute
    source.nitrogen_flow = 5e-3;
    plant.source = source;
    EXPECT_GT(run(plant).source.starts, 100);
}

}  // namespace
