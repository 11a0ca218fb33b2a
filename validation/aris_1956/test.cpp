#include <gtest/gtest.h>

#include <cmath>

#include "check.hpp"
#include "oxfade/flow/dispersion.hpp"

using namespace oxfade;
using namespace oxfade::validation;

TEST(aris_1956, dispersion) {
    constexpr double radius = 0.025, diffusivity = 2e-5, viscosity = 1.5e-5;
    const auto laminar = [&](const Row& row) {
        const double speed = row.number("peclet") * diffusivity / radius;
        return flow::shear_dispersion(speed, radius, diffusivity, viscosity) / diffusivity;
    };
    const auto turbulent = [&](const Row& row) {
        const double reynolds = row.number("reynolds"), speed = reynolds * viscosity / (2.0 * radius);
        const double friction_speed = speed * std::sqrt(0.3164 * std::pow(reynolds, -0.25) / 8.0);
        return (flow::shear_dispersion(speed, radius, diffusivity, viscosity) - diffusivity) /
               (radius * friction_speed);
    };
    check_rows("aris_1956", {{"flow::shear_dispersion, laminar", laminar},
                             {"flow::shear_dispersion, turbulent", turbulent}});
}
