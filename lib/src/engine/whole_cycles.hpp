#pragma once

#include "engine/cruise.hpp"

namespace oxfade::engine {

/// Cycles of the source that begin and end with it stopping.
struct WholeCycles {
    double count = 0.0;
    double end = 0.0;  ///< of the last one, within the step [s]
};

/// As many whole cycles as fit between a moment of the series' step, at which the source has just stopped,
/// and another, without following any of them. None when the demand changes too fast to tell.
///
/// Off for depth/S and on for depth/(N - S), a cycle takes P(S) = depth N / (S (N - S)) at a constant demand
/// S; where S changes slowly, cycles pass at the rate 1/P(S) - S'/(2N), the second part because the source
/// is off first and on later.
/// @param made what the source makes while it is on, N [mol/s]
/// @param depth what the receiver loses between stop and start [mol]
WholeCycles whole_cycles(const CruiseSeries& series, double from, double until, double made, double depth);

}  // namespace oxfade::engine
