#pragma once

#include <algorithm>
#include <limits>

/// When a threshold counts as crossed: the same for the rules of the switchboard and for its guards.
namespace oxfade::engine {

/// A threshold counts as reached within this fraction: events are located far more closely than that.
inline constexpr double slack = 1e-10;
inline bool reached(double moles, double threshold) { return moles >= threshold * (1.0 - slack); }
inline bool fallen_to(double moles, double threshold) { return moles <= threshold * (1.0 + slack); }

/// A regulator that sagged holds again only when its orifice can pass this much more than is asked for: keeps
/// it from flipping where both are equal.
inline constexpr double recover_excess = 1e-6;

/// Positive when the orifice passes enough to hold. Nothing asked for and nothing to be had is not enough:
/// then the value is just below zero, so that it rises through zero as soon as there is anything.
inline double recovery(double capacity, double asked) {
    const double excess = capacity - asked * (1.0 + recover_excess);
    return excess > 0.0 ? excess : std::min(excess, -std::numeric_limits<double>::min());
}

}  // namespace oxfade::engine
