#include "oxfade/flow/counterflow.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace oxfade::flow {
namespace {

// Weak flow in level pipe, u = (g G/(8 nu)) (a^2 - r^2) r sin(angle): U = weak_speed a^3 g' G/nu, and a flux of
// (7/46080) Ra^2 D G [erdogan_chatwin_1967].
constexpr double weak_speed = 4.0 / std::numbers::pi * (2.0 / 15.0) / 8.0;
constexpr double weak_contrast = 7.0 / 46080.0 / (weak_speed * weak_speed);
// Onset in vertical pipe: walls that let nothing through [taylor_1954], and walls that hold the temperature
// (Ostroumov 1952), the square root of the smallest eigenvalue for either.
constexpr double onset = 67.95, onset_of_held_walls = 215.6;
constexpr double lift = 1.0 / (onset * weak_speed * weak_contrast);
constexpr double thermal_contrast = weak_contrast * onset / onset_of_held_walls;
constexpr double prandtl = 0.72;

// Fitted to the simulations of validation/dead_leg_dns.md.
constexpr double most_carried = 2.42;     // sigma: most of the contrast that the streams carry
constexpr double inertia = 0.646;         // phi: gas has to be set moving along the pipe
constexpr double choking = 0.498;         // F: Froude number at which stirring takes all of the drive
constexpr double stirring = 0.137;        // chi: diffusivity across the pipe over radius and speed
constexpr double stratification = 8.9;    // r: how strongly heavy under light keeps it from stirring

// Assumed; the result hardly depends on them.
constexpr double least_cosine = 0.01;  // no pipe hangs plumb: half a degree starts the flow
constexpr double steepest = 0.05;      // a gradient over less than this many radii drives no more
constexpr double rounding = 0.04;      // of the corner of max(D, chi a m U)
constexpr double no_contrast = 1e-12;
constexpr double negligible = 1e-10;  // of the molecular flux

/// What the closure says at a speed U, and its slopes: `residual` is zero at the speed sought.
struct Closure {
    double residual, residual_slope;           // in U
    double carried, carried_slope;             // s and ds/dU
    double residual_gradient, carried_gradient;  // by G
    double residual_contrast, carried_contrast;  // by C
};

class Law {
  public:
    Law(const CounterFlowPipe& pipe, const CounterFlowGas& gas, double gradient, double contrast)
        : gas_(gas), gradient_(gradient), contrast_(std::max(contrast, no_contrast)) {
        const double a = pipe.radius, other = gas.other_gradient;
        drag_ = gas.kinematic_viscosity / (weak_speed * a * a);
        // How steep it is for the flow, and by how much less when the front is steeper than a pipe is wide.
        const double share = 1.0 / (1.0 + steepest * a * gradient / contrast_);
        slope_ = gradient * share;
        slope_by_gradient_ = share * share;
        slope_by_contrast_ = steepest * a * slope_ * slope_ / (contrast_ * contrast_);
        const double g = gas.reduced_gravity, level = g * slope_ + other;
        drive_ = a * std::hypot(pipe.cosine * level, least_cosine * g * slope_);
        drive_slope_ = drive_ > 0.0 ? a * a * g *
                                          (pipe.cosine * pipe.cosine * level +
                                           least_cosine * least_cosine * g * slope_) /
                                          drive_
                                    : 0.0;
        gain_ = weak_contrast * a * a;
        most_ = most_carried * contrast_;
        rise_ = lift * pipe.sine;
        heat_ = thermal_contrast * a * a * other;
        conductivity_ = gas.kinematic_viscosity / prandtl;
        stir_ = stirring * a;
        const double keep = stratification * a * pipe.cosine;
        layers_ = keep * g * contrast_;
        layers_by_heat_ = keep * std::abs(heat_) / conductivity_;
        layers_by_contrast_ = keep * g;
        fastest_ = choking * choking * g * contrast_ * a;
    }

    /// Not less than the speed sought: viscous drag and inertia alone against all that can drive.
    double upper_speed() const {
        const double top = drive_ + std::max(rise_, 0.0) * gas_.reduced_gravity * most_ +
                           std::max(rise_ * heat_, 0.0) / stir_;
        const double quadratic = inertia * slope_ / contrast_;
        const double speed = 2.0 * top / (drag_ + std::sqrt(drag_ * drag_ + 4.0 * quadratic * top));
        return std::min(speed, weak_speed_bound());
    }

    /// The speed while the flow is weak; an upper bound.
    double weak_speed_bound() const {
        const double pull = std::max(rise_, 0.0) * gas_.reduced_gravity * gain_ * gradient_ / gas_.diffusivity +
                            std::max(rise_ * heat_, 0.0) / conductivity_;
        return pull < drag_ ? drive_ / (drag_ - pull) : HUGE_VAL;
    }

    /// Whether the counter-flow at this speed carries next to nothing.
    bool is_negligible(double speed) const {
        return gain_ * speed * speed <= negligible * gas_.diffusivity * gas_.diffusivity;
    }

    template <bool WithSlopes>
    Closure at(double speed) const {
        Closure r{};
        const double diffusivity = gas_.diffusivity, g = gas_.reduced_gravity;
        // Stirring.
        const double square = speed * speed, calm = layers_ + layers_by_heat_ * speed;
        const double stirred = 1.0 / (square + calm + 1e-300), m = square * stirred;
        const double m_slope = speed * (2.0 * calm - layers_by_heat_ * speed) * stirred * stirred;
        const double mixing_speed = m * speed, mixing_slope = m + speed * m_slope;
        const double x = stir_ * mixing_speed / diffusivity;
        const double root = std::sqrt((1.0 - x) * (1.0 - x) + rounding);
        static const double at_rest = 0.5 * (std::sqrt(1.0 + rounding) - 1.0);
        const double lateral = diffusivity * (0.5 * (1.0 + x + root) - at_rest);
        const double lateral_by_mixing = stir_ * 0.5 * (1.0 + (x - 1.0) / root);
        // Contrast carried.
        const double made = gain_ * gradient_ * speed, share = 1.0 / (lateral * most_ + made);
        r.carried = made * most_ * share;
        const double by_made = lateral * most_ * most_ * share * share;
        const double by_lateral = -made * most_ * most_ * share * share;
        r.carried_slope = by_made * gain_ * gradient_ + by_lateral * lateral_by_mixing * mixing_slope;
        // Balance of forces.
        const double conduct = 1.0 / (conductivity_ + stir_ * mixing_speed);
        const double warm = heat_ * speed * conduct;
        const double warm_slope = heat_ * conduct * (1.0 - speed * conduct * stir_ * mixing_slope);
        const double force = drive_ + rise_ * (g * r.carried + warm);
        const double force_slope = rise_ * (g * r.carried_slope + warm_slope);
        const double quadratic = inertia * slope_ / contrast_;
        const bool chokes = force > 0.0;
        const double choked = chokes ? mixing_speed * mixing_speed / fastest_ : 0.0;
        const double left = 1.0 - choked;
        const double choked_by_mixing = chokes ? 2.0 * mixing_speed / fastest_ : 0.0;
        r.residual = drag_ * speed + quadratic * square - force * left;
        r.residual_slope = drag_ + 2.0 * quadratic * speed - force_slope * left +
                           force * choked_by_mixing * mixing_slope;
        if constexpr (WithSlopes) {
            r.carried_gradient = by_made * gain_ * speed;
            r.residual_gradient = inertia * slope_by_gradient_ / contrast_ * square -
                                  left * (drive_slope_ * slope_by_gradient_ + rise_ * g * r.carried_gradient);
            const double mixing_by_contrast = -speed * m * stirred * layers_by_contrast_;
            r.carried_contrast = most_carried * made * made * share * share +
                                 by_lateral * lateral_by_mixing * mixing_by_contrast;
            const double warm_by_contrast = -warm * conduct * stir_ * mixing_by_contrast;
            const double force_by_contrast = drive_slope_ * slope_by_contrast_ +
                                             rise_ * (g * r.carried_contrast + warm_by_contrast);
            r.residual_contrast =
                inertia * square * (slope_by_contrast_ - slope_ / contrast_) / contrast_ -
                left * force_by_contrast +
                force * (choked_by_mixing * mixing_by_contrast - choked / contrast_);
        }
        return r;
    }

  private:
    const CounterFlowGas& gas_;
    double gradient_, contrast_;
    double slope_, slope_by_gradient_, slope_by_contrast_;
    double drag_, drive_, drive_slope_, gain_, most_, rise_, heat_, conductivity_, stir_;
    double layers_, layers_by_heat_, layers_by_contrast_, fastest_;
};

/// The speed at which the residual vanishes: Newton's method from above, held in a bracket.
double speed_of(const Law& law, double high) {
    double low = 0.0, speed = high;
    for (int i = 0; i < 60; ++i) {
        const Closure c = law.at<false>(speed);
        (c.residual > 0.0 ? high : low) = speed;
        double next = c.residual_slope > 0.0 ? speed - c.residual / c.residual_slope : low;
        if (!(next > low && next < high)) next = 0.5 * (low + high);
        const double step = std::abs(next - speed);
        speed = next;
        if (step <= 1e-9 * speed) break;
    }
    return speed;
}

}  // namespace

Exchange counter_flow(const CounterFlowPipe& pipe, const CounterFlowGas& gas, double gradient,
                      double contrast) noexcept {
    const double steep = std::max(gradient, 0.0);
    const Law law(pipe, gas, steep, contrast);
    const double high = law.upper_speed();
    if (!(high > 0.0) || law.is_negligible(high)) return {gas.diffusivity * steep, gas.diffusivity, 0.0};
    const double speed = speed_of(law, high);
    const Closure c = law.at<true>(speed);
    const double by_speed = c.carried + speed * c.carried_slope;
    Exchange exchange{gas.diffusivity * steep + speed * c.carried, gas.diffusivity, 0.0};
    if (c.residual_slope > 0.0) {
        exchange.slope += speed * c.carried_gradient - by_speed * c.residual_gradient / c.residual_slope;
        exchange.contrast_slope = speed * c.carried_contrast - by_speed * c.residual_contrast / c.residual_slope;
    }
    return exchange;
}

}  // namespace oxfade::flow
