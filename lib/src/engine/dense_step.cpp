#include "engine/dense_step.hpp"

#include <array>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <utility>

namespace oxfade::engine {
namespace {

/// Theta where the cubic, of different sign at `low` and `high`, has just changed.
double root_between(double low, double high, double y0, double y1, double d0, double d1) {
    const auto f = [&](double theta) { return DenseStep::cubic(theta, y0, y1, d0, d1); };
    const double f_low = f(low), f_high = f(high);
    if (f_high == 0.0 || (f_low < 0.0) == (f_high < 0.0)) return high;
    if (f_low == 0.0) return low;
    std::uintmax_t iterations = 60;
    const auto bracket = boost::math::tools::toms748_solve(
        f, low, high, f_low, f_high, boost::math::tools::eps_tolerance<double>(50), iterations);
    return bracket.second;
}

/// Interior extrema of the cubic in rising order; how many there are.
int extrema(double y0, double y1, double d0, double d1, std::array<double, 2>& where) {
    const double rise = y1 - y0;
    // derivative: 3 a theta^2 + 2 b theta + d0
    const double a = d0 + d1 - 2.0 * rise, b = 3.0 * rise - 2.0 * d0 - d1;
    int count = 0;
    const auto add = [&](double theta) {
        if (theta > 0.0 && theta < 1.0) where[static_cast<std::size_t>(count++)] = theta;
    };
    const double discriminant = b * b - 3.0 * a * d0;
    if (discriminant <= 0.0) return 0;
    const double q = -(b + std::copysign(std::sqrt(discriminant), b));
    double first = a != 0.0 ? q / (3.0 * a) : 2.0, second = q != 0.0 ? d0 / q : 2.0;
    if (first > second) std::swap(first, second);
    add(first);
    if (second > first) add(second);
    return count;
}

}  // namespace

void DenseStep::state(double theta, State& out) const {
    const double w = theta * (theta - 1.0);
    out = x0 + (theta + w * (1.0 - 2.0 * theta)) * (x1 - x0) + (w * (theta - 1.0) * size) * f0 +
          (w * theta * size) * f1;
}

int sign_changes(double y0, double y1, double d0, double d1, std::array<double, 3>& where) {
    const bool same_side = (y0 < 0.0) == (y1 < 0.0);
    const bool may_turn = y0 < 0.0 ? d0 > 0.0 && d1 < 0.0 : d0 < 0.0 && d1 > 0.0;
    if (same_side && !may_turn) return 0;
    std::array<double, 2> extremum{};
    const int extremum_count = extrema(y0, y1, d0, d1, extremum);
    int count = 0;
    double low = 0.0, y_low = y0;
    for (int k = 0; k <= extremum_count; ++k) {
        const bool last = k == extremum_count;
        const double high = last ? 1.0 : extremum[static_cast<std::size_t>(k)];
        const double y_high = last ? y1 : DenseStep::cubic(high, y0, y1, d0, d1);
        if ((y_low < 0.0) != (y_high < 0.0)) {
            where[static_cast<std::size_t>(count++)] = root_between(low, high, y0, y1, d0, d1);
        }
        low = high;
        y_low = y_high;
    }
    return count;
}

double first_rise(double y0, double y1, double d0, double d1) {
    std::array<double, 3> where{};
    const int count = sign_changes(y0, y1, d0, d1, where);
    const int wanted = y0 < 0.0 ? 0 : 1;
    return count > wanted ? where[static_cast<std::size_t>(wanted)] : -1.0;
}

}  // namespace oxfade::engine
