#include "oxfade/flow/dispersion.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace oxfade::flow {
namespace {

constexpr double diffusivity = 2e-5, viscosity = 1.5e-5, radius = 0.026;

double dispersion_at(double reynolds) {
    return shear_dispersion(reynolds * viscosity / (2.0 * radius), radius, diffusivity, viscosity);
}

TEST(Dispersion, StillGasDiffuses) { EXPECT_EQ(dispersion_at(0.0), diffusivity); }

TEST(Dispersion, LaminarFlowIsThatOfTaylorAndAris) {
    for (const double speed : {1e-4, 1e-2, 0.3}) {
        const double expected = diffusivity + std::pow(speed * radius, 2) / (48.0 * diffusivity);
        EXPECT_NEAR(shear_dispersion(speed, radius, diffusivity, viscosity), expected, 1e-12 * expected);
        EXPECT_EQ(shear_dispersion(-speed, radius, diffusivity, viscosity),
                  shear_dispersion(speed, radius, diffusivity, viscosity));
    }
}

TEST(Dispersion, TurbulentFlowIsThatOfTaylor) {
    const double reynolds = 1e5, speed = reynolds * viscosity / (2.0 * radius);
    const double friction_speed = speed * std::sqrt(0.3164 / std::pow(reynolds, 0.25) / 8.0);
    EXPECT_NEAR(dispersion_at(reynolds), diffusivity + 10.1 * radius * friction_speed, 1e-9);
}

TEST(Dispersion, ValueAndSlopeAreContinuousThroughTheTransition) {
    for (const double at : {2000.0, 4000.0}) {
        const auto slope = [](double from, double to) {
            return (dispersion_at(to) - dispersion_at(from)) / (to - from);
        };
        const double below = slope(at - 0.1, at), above = slope(at, at + 0.1);
        EXPECT_NEAR(below, above, 0.01 * std::abs(below));
    }
    for (double reynolds = 2000.0; reynolds < 4000.0; reynolds += 10.0)
        EXPECT_LT(dispersion_at(reynolds), dispersion_at(2000.0) * 1.2);
}

}  // namespace
}  // namespace oxfade::flow
