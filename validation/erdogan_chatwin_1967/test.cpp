#include <gtest/gtest.h>

#include <cmath>

#include "check.hpp"
#include "oxfade/flow/counterflow.hpp"

using namespace oxfade;
using namespace oxfade::validation;

TEST(erdogan_chatwin_1967, weak_flow) {
    const flow::CounterFlowGas gas{0.3, 2e-5, 1.5e-5, 0.0};
    constexpr double radius = 0.025, boundless = 1e9;
    const auto spreading = [&](const Row& row) {
        const double gradient = row.number("rayleigh") * gas.kinematic_viscosity * gas.diffusivity /
                                (gas.reduced_gravity * std::pow(radius, 4));
        return flow::counter_flow({radius, 0.0, 1.0}, gas, gradient, boundless).spread / gas.diffusivity;
    };
    check_rows("erdogan_chatwin_1967", {{"flow::counter_flow", spreading}});
}
