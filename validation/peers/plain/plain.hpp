#pragma once

#include <oxfade/plant/plant.hpp>
#include <vector>

/// What a capable engineer would write in an afternoon with a general solver: three species in every
/// compartment, a mode for every switch, the solver started anew after each. Generator, regulators, vents
/// that stay open, leaks by diameter, trees given by volume: what the benchmark plants need. Shares no code
/// with the engine.
namespace oxfade::peer {

struct Answer {
    double fill_time = -1.0, time_to_target = -1.0;  ///< of the last riser [s]; negative: not reached
    double worst_oxygen = 0.0;                       ///< mole fraction at the end
    long events = 0;
};

/// Boost.Odeint: Dormand-Prince with dense output, events found by bisection.
Answer solve_with_odeint(const plant::Plant& plant, double relative_tolerance);

/// CVODE of SUNDIALS with its own root finding; only where it was found when this was built.
enum class Formulas { adams, bdf };
Answer solve_with_cvode(const plant::Plant& plant, double relative_tolerance, Formulas formulas);

}  // namespace oxfade::peer
