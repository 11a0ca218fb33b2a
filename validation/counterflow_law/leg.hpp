#pragma once

#include <vector>

#include "oxfade/flow/counterflow.hpp"

/// A dead end by itself: the laws of counter-flow in one dimension along a leg, on a grid that is fine enough
/// to tell nothing but the laws.
namespace oxfade::validation {

/// A leg full of air (fraction 1), its mouth swept by gas of fraction 0, closed at its far end.
struct Leg {
    double bore = 0.0, length = 0.0;  ///< [m]
    double pitch = 0.0;               ///< [rad], positive where the far end is higher
    flow::CounterFlowGas gas;         ///< its other gradient counts from the mouth towards the far end
};

/// When a mean falls to a level.
struct Level {
    enum class Of { leg, end_section } of = Of::leg;
    double fraction = 0.0;
};

/// Times [s] at which each level is reached; infinite where that is not within `longest` [s].
std::vector<double> times_of(const Leg& leg, const std::vector<Level>& levels, double longest,
                             int cells = 100, double tolerance = 2e-4);

}  // namespace oxfade::validation
