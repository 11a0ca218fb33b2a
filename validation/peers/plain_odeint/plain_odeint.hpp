#pragma once

#include <oxfade/plant/plant.hpp>
#include <vector>

/// What a capable engineer would write in an afternoon with Boost.Odeint: three species in every compartment,
/// Dormand-Prince with dense output, a mode for every switch, events found by bisection and the stepper
/// started anew after each. Generator, regulators, vents that stay open, leaks by diameter, trees given by
/// volume: what the benchmark plants need. Shares no code with the engine.
namespace oxfade::peer {

struct Answer {
    double fill_time = -1.0, time_to_target = -1.0;  ///< of the last riser [s]; negative: not reached
    double worst_oxygen = 0.0;                       ///< mole fraction at the end
    long events = 0;
};

Answer solve(const plant::Plant& plant, double relative_tolerance);

}  // namespace oxfade::peer
