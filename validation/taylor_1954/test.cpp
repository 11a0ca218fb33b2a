#include <gtest/gtest.h>

#include <cmath>

#include "check.hpp"
#include "oxfade/flow/counterflow.hpp"

using namespace oxfade;
using namespace oxfade::validation;

TEST(taylor_1954, onset) {
    const flow::CounterFlowGas gas{0.3, 2e-5, 1.5e-5, 0.0};
    constexpr double radius = 0.025, boundless = 1e9, rayleigh = 30.0;
    const double gradient =
        rayleigh * gas.kinematic_viscosity * gas.diffusivity / (gas.reduced_gravity * std::pow(radius, 4));
    const double cosine = 0.5, sine = std::sqrt(0.75);
    // The speed grows as 1/(1 - Ra sine/onset), the flux as its square.
    const auto onset = [&](const Row&) {
        const double pitched = flow::counter_flow({radius, sine, cosine}, gas, gradient, boundless).spread;
        const double flat = flow::counter_flow({radius, 0.0, cosine}, gas, gradient, boundless).spread;
        const double growth = std::sqrt((pitched - gas.diffusivity) / (flat - gas.diffusivity));
        return rayleigh * sine / (1.0 - 1.0 / growth);
    };
    check_rows("taylor_1954", {{"flow::counter_flow", onset}});
}
