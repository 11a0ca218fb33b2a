// Events against their exact times: located to 1e-3 s with the default settings (model.md section 7).
#include <cmath>

#include "support/hole.hpp"
#include "support/plants.hpp"
#include "support/run.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

constexpr double located = 1e-3;  // [s]

/// A tight riser on a generator: nothing is drawn.
plant::Plant idle_plant(double receiver_pressure) {
    plant::Generator source = generator();
    source.receiver.initial_pressure = receiver_pressure;
    return plant_of(full_riser({vessel("main", 1.0)}), source, 20000.0);
}

double time_to_stop(double from, double standard_flow) {
    return moles_of(9e5 - from, 0.3) / plant::standard_moles({}, standard_flow);
}

TEST(EventTimes, GeneratorStopsWhenItsReceiverIsFull) {
    for (const double from : {6.1e5, 6.5e5, 7e5}) {
        const auto out = run(idle_plant(from));
        EXPECT_NEAR(out.source.running, time_to_stop(from, 2e-3), located);
        EXPECT_EQ(out.source.on_air, 0.0);
        EXPECT_EQ(out.source.starts, 1);
    }
}

TEST(EventTimes, GeneratorBelowItsLimitRunsOnAirUntilFull) {
    for (const double from : {0.0, 1e5, 5.9e5}) {
        const auto out = run(idle_plant(from));
        EXPECT_NEAR(out.source.running, time_to_stop(from, 10e-3), located);
        EXPECT_EQ(out.source.on_air, out.source.running);
        EXPECT_EQ(out.source.starts, 1);
        // The receiver rises past the riser, whose regulator holds from that moment on.
        EXPECT_NEAR(out.risers[0].highest_in_service, set_pressure, 1.0);
    }
}

TEST(EventTimes, GeneratorAboveItsStartStaysOff) {
    const auto out = run(idle_plant(7.01e5));
    EXPECT_EQ(out.source.running, 0.0);
    EXPECT_EQ(out.source.starts, 0);
}

/// A riser to be filled from low pressure, choked all the way when the pressure ahead is high.
plant::Plant empty_riser(double volume, plant::Source source) {
    plant::Riser riser = full_riser({vessel("main", volume)});
    riser.initial_pressure.reset();
    riser.fill = {3e-3, 0.8};
    riser.supply = plant::Regulator{{1e-3, 0.8}};
    return plant_of(std::move(riser), std::move(source), 5000.0);
}

double open_area() { return effective_area(3e-3); }  // the supply waits for the end of the fill

TEST(EventTimes, FillThroughAChokedPassageFromCylinders) {
    for (const double volume : {0.01, 0.5, 3.0}) {
        const auto plant = empty_riser(volume, cylinders(0.98));
        const double expected =
            moles_of(set_pressure - 101325.0, volume) / choked_flow(open_area(), 20e5, product_mass(0.98));
        const auto out = run(plant);
        ASSERT_TRUE(out.risers[0].fill_time);
        EXPECT_NEAR(*out.risers[0].fill_time, expected, located) << volume;
        EXPECT_NEAR(out.risers[0].final_pressure, set_pressure, 1e-4);
        EXPECT_EQ(out.risers[0].fill_met, expected <= 1800.0);
    }
}

TEST(EventTimes, FillFromAReceiverThatFallsExponentially) {
    const double volume = 0.2;
    plant::Generator source = generator(0.98);
    source.receiver = {0.5, 1e5, 30e5, 20e5, plant::InitialGas::source};
    source.air_below = 0.5e5;
    const double tau = moles_of(1.0, 0.5) / choked_flow(open_area(), 1.0, product_mass(0.98));
    const double expected = -tau * std::log1p(-(set_pressure - 101325.0) * volume / (20e5 * 0.5));
    const auto out = run(empty_riser(volume, source));
    EXPECT_NEAR(out.risers[0].fill_time.value_or(0.0), expected, located);
}

TEST(EventTimes, FillBelowTheCriticalRatioByQuadrature) {
    const double delivery = 5e5, volume = 1.0, mass = product_mass(0.98);
    const auto plant = empty_riser(volume, cylinders(0.98, 1e6, delivery));
    double expected = 0.0;
    constexpr int slices = 200000;
    const double width = (set_pressure - 101325.0) / slices;
    for (int k = 0; k < slices; ++k) {
        const double p = 101325.0 + (k + 0.5) * width;
        expected += moles_of(width, volume) / hole_flow(open_area(), delivery, p, 293.15, mass);
    }
    EXPECT_NEAR(run(plant, tight()).risers[0].fill_time.value_or(0.0), expected, located);
    EXPECT_NEAR(run(plant).risers[0].fill_time.value_or(0.0), expected, 1e-4 * expected);
}

TEST(EventTimes, CylindersRunEmpty) {
    const double purity = purity_as_heavy_as_air();
    const double flow = choked_flow(effective_area(1e-3), set_pressure, air_mass());
    plant::Plant plant = purged_vessel(purity, 20000.0);
    plant.source = cylinders(purity, standard_flow(flow * 12345.0));
    const auto out = run(plant);
    ASSERT_TRUE(out.source.empty_at);
    EXPECT_NEAR(*out.source.empty_at, 12345.0, located);
    EXPECT_NEAR(out.source.made_nitrogen, flow * 12345.0, 1e-6);
    const double tau = moles_of(set_pressure, 2.0) / flow;
    ASSERT_GT(std::exp(-(20000.0 - 12345.0) / tau) * set_pressure, 1.95e5);
    EXPECT_NEAR(out.risers[0].final_pressure, set_pressure * std::exp(-(20000.0 - 12345.0) / tau), 2.0);
}

TEST(EventTimes, TargetIsMetInTheMomentItsFractionSays) {
    plant::Plant plant = purged_vessel(0.98, 30000.0);
    plant.target = 0.9;
    engine::Options options = tight();
    options.history_points = 1000;
    const auto out = run(plant, options);
    ASSERT_TRUE(out.risers[0].time_to_target);
    plant.duration = *out.risers[0].time_to_target;
    EXPECT_NEAR(run(plant, options).risers[0].pipes[0].oxygen[0], 0.1, 1e-10);
}

TEST(EventTimes, ARegulatorShutAboveItsSetPressureOpensInTime) {
    const double purity = purity_as_heavy_as_air(), from = 6e5;
    plant::Plant plant = purged_vessel(purity, 8000.0);
    plant.risers[0].initial_pressure = from;
    const double flow = choked_flow(effective_area(1e-3), set_pressure, air_mass());
    const double shut = moles_of(set_pressure, 2.0) / flow * std::log(from / set_pressure);
    ASSERT_LT(shut, plant.duration);
    const auto out = run(plant, tight());
    EXPECT_NEAR(out.risers[0].supplied / flow, plant.duration - shut, located);
    EXPECT_NEAR(out.risers[0].final_pressure, set_pressure, 1e-3);
    EXPECT_NEAR(out.risers[0].highest_in_service, from, 1e-6);
}

}  // namespace
