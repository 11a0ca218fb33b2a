#include "oxfade/flow/dispersion.hpp"

#include <cmath>

#include "oxfade/flow/pipe_friction.hpp"

namespace oxfade::flow {
namespace {

/// Taylor (1953), Aris (1956).
double laminar(double speed, double radius, double diffusivity) {
    const double peclet = speed * radius / diffusivity;
    return diffusivity * (1.0 + peclet * peclet / 48.0);
}

/// Taylor (1954), with the friction factor of Blasius.
double turbulent(double speed, double radius, double diffusivity, double reynolds) {
    return diffusivity + 10.1 * radius * speed * std::sqrt(0.3164 / 8.0) * std::pow(reynolds, -0.125);
}

}  // namespace

double shear_dispersion(double speed, double radius, double diffusivity,
                        double kinematic_viscosity) noexcept {
    const double size = std::abs(speed), reynolds = 2.0 * radius * size / kinematic_viscosity;
    if (reynolds <= laminar_below) return laminar(size, radius, diffusivity);
    if (reynolds >= turbulent_above) return turbulent(size, radius, diffusivity, reynolds);
    const double x = (reynolds - laminar_below) / (turbulent_above - laminar_below);
    const double weight = x * x * (3.0 - 2.0 * x);
    return std::pow(laminar(size, radius, diffusivity), 1.0 - weight) *
           std::pow(turbulent(size, radius, diffusivity, reynolds), weight);
}

}  // namespace oxfade::flow
