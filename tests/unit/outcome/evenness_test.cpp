#include "oxfade/outcome/evenness.hpp"

#include <cmath>

#include "oxfade/flow/pipe_friction.hpp"
#include "support/hole.hpp"
#include "support/plants.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

plant::Plant long_pipe(double bore, double vent_diameter) {
    plant::Riser riser = full_riser({tube("main", bore, 100.0, 4)});
    riser.vents = {vent("main", vent_diameter)};
    return plant_of(std::move(riser), cylinders(0.99), day);
}

TEST(Evenness, VentsLackWhatTheClosedFormSays) {
    const auto estimate = outcome::unevenness(long_pipe(0.015, 3e-3), 0);
    // The vent's flow at set pressure, pushed through the pipe: what pressure is left at its end.
    const double asked = choked_flow(effective_area(3e-3), set_pressure, product_mass(0.99));
    double low = 1e5, high = set_pressure;
    for (int i = 0; i < 60; ++i) {
        const double middle = 0.5 * (low + high);
        const double flow = flow::isothermal_pipe_flow({100.0, 0.015}, set_pressure, middle, 293.15,
                                                       gas::nitrogen_of_purity(0.99));
        (flow > asked ? low : high) = middle;
    }
    EXPECT_NEAR(estimate.vents, 1.0 - low / set_pressure, 1e-9);
    EXPECT_GT(estimate.vents, 0.01);
}

TEST(Evenness, AFullRiserMissesNothing) {
    EXPECT_EQ(outcome::unevenness(long_pipe(0.015, 3e-3), 0).fill, 0.0);
}

TEST(Evenness, LaminarFillMissesAThirdOfTheDropAtFullFlow) {
    plant::Plant plant = long_pipe(0.02, 1e-3);
    plant::Riser& riser = plant.risers[0];
    riser.initial_pressure = 2e5;
    riser.fill.diameter = 0.2e-3;
    const double flow = choked_flow(effective_area(0.2e-3), 20e5, product_mass(0.99));
    // With the flow falling evenly to nothing the shortfall at x is drop (x - x^2/2), a third of it on
    // average.
    double low = 1e5, high = set_pressure;
    for (int i = 0; i < 60; ++i) {
        const double middle = 0.5 * (low + high);
        const double passed = flow::isothermal_pipe_flow({100.0, 0.02}, set_pressure, middle, 293.15,
                                                         gas::nitrogen_of_purity(0.99));
        (passed > flow ? low : high) = middle;
    }
    const double drop = set_pressure - low;
    EXPECT_NEAR(outcome::unevenness(plant, 0).fill / (drop / 3.0 / 2e5), 1.0, 0.01);
}

TEST(Evenness, PipesByVolumeAloneCountAsWide) {
    plant::Plant plant = purged_vessel(0.98, day);
    plant.risers[0].initial_pressure.reset();
    EXPECT_EQ(outcome::unevenness(plant, 0).worst(), 0.0);
}

}  // namespace
