#pragma once

#include <array>

#include "engine/dynamics.hpp"

namespace oxfade::engine {

/// One step with its rates at both ends: a cubic in time for every entry of the state. Being a linear
/// combination of states and rates, it keeps every balance that they keep.
struct DenseStep {
    double begin = 0.0, size = 0.0;  ///< time [s]
    State x0, f0, x1, f1;

    double time(double theta) const { return begin + theta * size; }
    double value(int i, double theta) const { return cubic(theta, x0[i], x1[i], size * f0[i], size * f1[i]); }
    void state(double theta, State& out) const;

    /// Hermite's cubic on [0, 1] from values and slopes at the ends.
    static double cubic(double theta, double y0, double y1, double d0, double d1) {
        const double rise = y1 - y0;
        return y0 + theta * rise +
               theta * (theta - 1.0) * ((1.0 - 2.0 * theta) * rise + (theta - 1.0) * d0 + theta * d1);
    }
};

/// Where a cubic changes between negative and not negative on (0, 1], in rising order; how many there are.
int sign_changes(double y0, double y1, double d0, double d1, std::array<double, 3>& where);

/// First theta in (0, 1] at which a cubic turns from negative to not negative; negative when there is none.
/// A start at or above zero counts only after the cubic has been below.
double first_rise(double y0, double y1, double d0, double d1);

}  // namespace oxfade::engine
