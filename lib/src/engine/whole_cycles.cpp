#include "engine/whole_cycles.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "engine/lanes/cruise_limits.hpp"

namespace oxfade::engine {
namespace {

/// Gauss and Legendre's five points on [-1, 1].
constexpr std::array<double, 5> point{-0.906179845938664, -0.538469310105683, 0.0, 0.538469310105683,
                                      0.906179845938664};
constexpr std::array<double, 5> weight{0.236926885056189, 0.478628670499366, 0.568888888888889,
                                       0.478628670499366, 0.236926885056189};

/// Cycles that pass between two moments.
double phase(const CruiseSeries& series, double a, double b, double made, double depth) {
    const double middle = 0.5 * (a + b), half = 0.5 * (b - a);
    double sum = 0.0;
    for (std::size_t k = 0; k < point.size(); ++k) {
        const double supply = series.supply_at(middle + half * point[k]);
        sum += weight[k] * supply * (made - supply);
    }
    return half * sum / (made * depth) - (series.supply_at(b) - series.supply_at(a)) / (2.0 * made);
}

}  // namespace

WholeCycles whole_cycles(const CruiseSeries& series, double from, double until, double made, double depth) {
    const double first = series.supply_at(from), last = series.supply_at(until);
    const double least = std::min(first, last), most = std::max(first, last);
    if (!(least > 0.0) || !(most < made)) return {0.0, from};
    const double longest =
        std::max(depth * made / (first * (made - first)), depth * made / (last * (made - last)));
    if (until - from < longest) return {0.0, from};
    const double slope =
        std::max(std::abs(series.supply_slope_at(from)), std::abs(series.supply_slope_at(until)));
    const double drift =
        slope * longest * (1.0 / least + 1.0 / (made - most));  // of a period from one to the next
    if (drift * slope * (until - from) * (1.0 / least + 1.0 / (made - most)) >
        cruise_limits::most_counting_error)
        return {0.0, from};
    const double all = phase(series, from, until, made, depth);
    WholeCycles cycles{std::floor(all), until};
    const double rest = all - cycles.count;
    for (int k = 0; k < 3; ++k) {
        const double supply = series.supply_at(cycles.end);
        const double excess = rest - phase(series, cycles.end, until, made, depth);
        cycles.end -= excess * made * depth / (supply * (made - supply));
    }
    if (cycles.count < 1.0 || !(cycles.end > from && cycles.end <= until)) return {0.0, from};
    return cycles;
}

}  // namespace oxfade::engine
