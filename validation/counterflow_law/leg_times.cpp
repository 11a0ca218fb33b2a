/// Times of dead ends after the law of counter-flow: reads lines `bore length pitch wall`, [m], [m],
/// [degrees], [K] the far end's wall is warmer by, and writes for each the seconds to the levels below, `inf`
/// where they are not reached in 10 million seconds. Gas as in the simulations (dead_leg_dns/README.md).
#include <cstdio>
#include <iostream>
#include <numbers>

#include "leg.hpp"

using namespace oxfade;
using namespace oxfade::validation;

int main() {
    const flow::CounterFlowGas air_in_nitrogen{0.3202, 6.867e-6, 5.160e-6, 0.0};
    constexpr double gravity = 9.81, temperature = 288.15;
    const std::vector<Level> levels{{Level::Of::leg, 0.5},         {Level::Of::leg, 0.3},
                                    {Level::Of::leg, 0.2},         {Level::Of::leg, 0.1},
                                    {Level::Of::end_section, 0.5}, {Level::Of::end_section, 0.2},
                                    {Level::Of::end_section, 0.1}};
    double bore = 0.0, length = 0.0, pitch = 0.0, wall = 0.0;
    while (std::cin >> bore >> length >> pitch >> wall) {
        Leg leg{bore, length, pitch * std::numbers::pi / 180.0, air_in_nitrogen};
        leg.gas.other_gradient = -gravity / temperature * wall / length;
        for (const double time : times_of(leg, levels, 1e7)) std::printf("%.6g ", time);
        std::printf("\n");
    }
    return 0;
}
