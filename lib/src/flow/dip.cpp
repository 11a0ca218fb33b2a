#include "oxfade/flow/dip.hpp"

#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <numbers>

#include "oxfade/flow/water_exchange.hpp"
#include "oxfade/gas/constants.hpp"

namespace oxfade::flow {
namespace {

using std::numbers::pi;

/// Half the angle that a chord at a relative depth subtends.
double half_angle(double relative_depth) {
    return std::acos(std::clamp(1.0 - 2.0 * relative_depth, -1.0, 1.0));
}

/// `int_0^z A dy` over `A_0 d`, from 0 to 1/2. Near the empty bore, where the closed form cancels, the first
/// term of its series in the angle.
double filled_integral(double angle) {
    if (angle < 1e-2) return std::pow(angle, 5) / (15.0 * pi);
    const double s = std::sin(angle);
    return (s - angle * std::cos(angle) - s * s * s / 3.0) / (2.0 * pi);
}

/// The angle at which that is a value in (0, 1/2).
double angle_of(double integral) {
    const auto off = [&](double angle) { return filled_integral(angle) - integral; };
    std::uintmax_t iterations = 100;
    const auto close = [](double a, double b) { return std::abs(b - a) <= 1e-15 * std::abs(b); };
    const auto [low, high] = boost::math::tools::toms748_solve(off, 0.0, pi, close, iterations);
    return 0.5 * (low + high);
}

double area_of(double bore) { return pi / 4.0 * bore * bore; }

/// `int_0^z P dy` of the wetted arc P up to an angle, z <= d [m2].
double wetted_integral(double bore, double angle) {
    return 0.5 * bore * bore * (std::sin(angle) - angle * std::cos(angle));
}

}  // namespace

double filled_share(double relative_depth) {
    const double angle = half_angle(relative_depth);
    return (angle - std::sin(angle) * std::cos(angle)) / pi;
}

double closing_volume(const Dip& dip) {
    return 0.5 * area_of(dip.bore) * dip.bore * (1.0 / dip.slope_before + 1.0 / dip.slope_behind);
}

DipWater water_in_dip(const Dip& dip, double volume) {
    DipWater out;
    const double area = area_of(dip.bore), runs = 1.0 / dip.slope_before + 1.0 / dip.slope_behind;
    const double excess = volume - closing_volume(dip);
    out.free_area = area;
    if (!(volume > 0.0)) return out;
    if (excess < 0.0) {
        const double angle = angle_of(volume / (area * dip.bore * runs));
        out.depth = 0.5 * dip.bore * (1.0 - std::cos(angle));
        const double filled = area * filled_share(out.depth / dip.bore);
        out.free_area = area - filled;
        out.free_share = out.free_area / area;
        out.surface_before = filled / dip.slope_before;
        out.surface_behind = filled / dip.slope_behind;
        out.wetted_steel = wetted_integral(dip.bore, angle) * runs;
        return out;
    }
    out.closed = true;
    out.free_share = out.free_area = 0.0;
    const double above_crown = excess / (area * runs);  // at rest, in both legs
    out.depth = dip.bore + above_crown;
    out.rise_before = dip.slope_before * excess / area;
    out.rise_behind = dip.slope_behind * excess / area;
    out.surface_before = area / dip.slope_before;
    out.surface_behind = area / dip.slope_behind;
    out.wetted_steel = (wetted_integral(dip.bore, pi) + pi * dip.bore * above_crown) * runs;
    return out;
}

DipWater water_in_trap(double bore, double rise, double volume) {
    DipWater out;
    out.closed = true;
    out.free_share = 0.0;
    out.rise_before = out.rise_behind = rise;
    if (!(bore > 0.0)) return out;
    out.depth = bore;
    out.surface_before = out.surface_behind = area_of(bore);
    out.wetted_steel = 4.0 * volume / bore;
    return out;
}

double seal_strength(double rise, double temperature) {
    return kept_water_density(temperature) * gas::standard_gravity * rise;
}

}  // namespace oxfade::flow
