// Isothermal blow-down through a hole, with a source that gives nothing.
#include <cmath>

#include "oxfade/flow/leak.hpp"
#include "support/hole.hpp"
#include "support/plants.hpp"
#include "support/run.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

constexpr double volume = 1.5, diameter = 2e-3, outside = 101325.0, temperature = 293.15;

plant::Plant leaking_vessel(double from, double duration) {
    plant::Riser riser = full_riser({vessel("main", volume)});
    riser.set_pressure = from;
    riser.initial_pressure = from;
    riser.leaks.push_back(hole("main", diameter));
    return plant_of(std::move(riser), no_source(), duration);
}

double time_constant() {
    return moles_of(1.0, volume) / choked_flow(effective_area(diameter), 1.0, air_mass());
}

/// dp/dt by a fixed fine Runge-Kutta integration of its own.
double integrated_pressure(double from, double time) {
    const auto slope = [](double p) {
        if (p == outside) return 0.0;
        const bool inward = p < outside;
        const double flow = inward
                                ? hole_flow(effective_area(diameter), outside, p, temperature, air_mass())
                                : -hole_flow(effective_area(diameter), p, outside, temperature, air_mass());
        return flow / moles_of(1.0, volume);
    };
    constexpr int steps = 20000;
    const double h = time / steps;
    double p = from;
    for (int i = 0; i < steps; ++i) {
        const double a = slope(p), b = slope(p + 0.5 * h * a), c = slope(p + 0.5 * h * b),
                     d = slope(p + h * c);
        p += h / 6.0 * (a + 2.0 * b + 2.0 * c + d);
    }
    return p;
}

TEST(BlowDown, IsExponentialWhileChoked) {
    const double from = 10e5, tau = time_constant();
    engine::Options options = tight();
    options.history_points = 51;
    const auto out = run(leaking_vessel(from, 1.5 * tau), options);
    for (std::size_t k = 0; k < out.history.times.size(); ++k) {
        const double expected = from * std::exp(-out.history.times[k] / tau);
        EXPECT_NEAR(out.history.pressure.at(k, 0) / expected, 1.0, 1e-7) << "row " << k;
    }
    EXPECT_NEAR(out.risers[0].final_pressure / (from * std::exp(-1.5)), 1.0, 1e-8);
}

TEST(BlowDown, BelowTheCriticalRatioFollowsTheWholeNozzleLaw) {
    for (const double from : {1.05e5, 1.5e5, 1.9e5, 3e5}) {
        const double time = 0.5 * time_constant() * (from - outside) / outside;
        const auto out = run(leaking_vessel(from, time), tight());
        const double expected = integrated_pressure(from, time);
        EXPECT_GT(expected, outside * 1.001);
        EXPECT_NEAR((out.risers[0].final_pressure - outside) / (expected - outside), 1.0, 1e-6) << from;
    }
}

TEST(BlowDown, EndsAtTheOutsidePressureAndStays) {
    const auto out = run(leaking_vessel(2e5, 40.0 * time_constant()));
    EXPECT_NEAR(out.risers[0].final_pressure, outside, 1e-3);
    EXPECT_NEAR(out.risers[0].leaked, moles_of(2e5 - outside, volume), 1e-6);
}

TEST(BlowDown, AnEvacuatedVesselDrawsAir) {
    plant::Plant plant = leaking_vessel(2e5, 0.4 * time_constant());
    plant.risers[0].initial_pressure = 0.2e5;
    plant.risers[0].initial_gas = plant::InitialGas::source;
    const auto out = run(plant, tight());
    const double expected = integrated_pressure(0.2e5, plant.duration);
    EXPECT_GT(expected, 0.5e5);
    EXPECT_NEAR(out.risers[0].final_pressure / expected, 1.0, 1e-7);
    EXPECT_NEAR(final_air_fraction(out), 1.0 - 0.2e5 / expected, 1e-7);
    EXPECT_LT(out.risers[0].leaked, 0.0);
}

TEST(BlowDown, ALeakFoundFromATestLosesWhatTheTestLost) {
    for (const double from : {psig(40.0), psig(12.0), psig(5.0)}) {
        plant::Plant plant = leaking_vessel(from, day);
        plant.risers[0].leaks[0].size = plant::LeakByTest{1.5 * psi, day, from};
        const auto out = run(plant, tight());
        EXPECT_NEAR(out.risers[0].final_pressure, from - 1.5 * psi, 1e-4);
    }
}

TEST(BlowDown, AgreesWithTheLeakLawsTime) {
    const double area = effective_area(diameter);
    const double time = flow::blow_down_time(area, volume, 3e5, 1.2e5, outside, temperature);
    EXPECT_NEAR(run(leaking_vessel(3e5, time), tight()).risers[0].final_pressure, 1.2e5, 0.01);
}

}  // namespace
