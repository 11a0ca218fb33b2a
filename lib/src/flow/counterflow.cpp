#include "oxfade/flow/counterflow.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace oxfade::flow {
namespace {

// Weak flow in level pipe, u = (g' G/(8 nu)) (a^2 - r^2) r sin(angle): U = weak_speed a^3 g' G/nu, and a flux
// of (7/46080) Ra^2 D G [erdogan_chatwin_1967].
constexpr double weak_speed = 4.0 / std::numbers::pi * (2.0 / 15.0) / 8.0;
constexpr double weak_contrast = 7.0 / 46080.0 / (weak_speed * weak_speed);
// Rayleigh numbers of onset in vertical pipe: walls that let nothing through [taylor_1954], and walls that
// hold the temperature (Ostroumov 1952).
constexpr double onset = 67.95, onset_of_held_walls = 215.6;
constexpr double lift = 1.0 / (onset * weak_speed * weak_contrast);
constexpr double share_of_held_walls = onset / onset_of_held_walls;

// Fitted to the simulations of validation/counterflow_law.md.
constexpr double most_carried = 2.42;   // sigma: most of the contrast that the streams carry
constexpr double inertia = 1.87;        // phi: gas has to be set moving along the pipe
constexpr double choking = 0.434;       // F: Froude number at which stirring takes all of the drive
constexpr double stirring = 0.136;      // chi: diffusivity across the pipe over radius and speed
constexpr double stratification = 6.9;  // r: how strongly light over heavy keeps it from stirring

// Assumed; the results hardly depend on them.
constexpr double least_cosine = 0.01;  // no pipe hangs plumb: half a degree starts the flow
constexpr double reach = 1.0;      // radii along the pipe over which the streams feel each other's contrast
constexpr double longest = 30.0;   // radii over which temperature makes contrast where composition does not
constexpr double rounding = 0.04;  // of the corner of max(D, chi a m U)
constexpr double least_contrast = 1e-12, least_gradient = 1e-30;
constexpr double negligible = 1e-6;  // of the molecular flux

/// What the closure says at a speed U. `residual` is zero at the speed sought.
struct Closure {
    double residual = 0.0, by_speed = 0.0, by_gradient = 0.0, by_contrast = 0.0;
    double carried = 0.0, carried_by_speed = 0.0, carried_by_gradient = 0.0, carried_by_contrast = 0.0;  // s
};

class Law {
  public:
    Law(const CounterFlowPipe& pipe, const CounterFlowGas& gas, double gradient, double contrast)
        : diffusivity_(gas.diffusivity), contrast_(std::max(contrast, least_contrast)) {
        const double a = pipe.radius, g = gas.reduced_gravity, other = gas.other_gradient;
        drag_ = gas.kinematic_viscosity / (weak_speed * a * a);
        const double along = pipe.cosine * (g * gradient + other), across = least_cosine * g * gradient;
        const double hypotenuse = std::sqrt(along * along + across * across);
        drive_ = a * hypotenuse;
        drive_by_gradient_ =
            drive_ > 0.0 ? a * g * (pipe.cosine * along + least_cosine * across) / hypotenuse : 0.0;
        // Composition and temperature pull by what the streams carry of them.
        rise_ = lift * pipe.sine * (g + share_of_held_walls * other / gradient);
        rise_by_gradient_ = -lift * pipe.sine * share_of_held_walls * other / (gradient * gradient);
        made_by_gradient_ = weak_contrast * a * a;
        made_ = made_by_gradient_ * gradient;
        most_ = most_carried * contrast_;
        stir_ = stirring * a;
        inertia_ = inertia * gradient / contrast_;
        // Square of the speed of waves between the layers.
        const double length = 1.0 / (gradient + contrast_ / (longest * a));
        const double pull = std::abs(other) * length;
        waves_ = a * contrast_ * (g + pull);
        waves_by_gradient_ = -a * contrast_ * pull * length;
        waves_by_contrast_ = a * (g + pull) - a * contrast_ * pull * length / (longest * a);
        calm_ = stratification * pipe.cosine;
    }

    /// Not less than the speed sought.
    double upper_speed() const {
        const double pull = std::max(rise_, 0.0);
        const double weak = drag_ - pull * made_ / diffusivity_;
        double speed = (drive_ + pull * most_) / drag_;
        if (weak > 0.0) speed = std::min(speed, drive_ / weak);
        // Where it stirs, (m U)^2 <= F^2 w with m = U^2/(U^2 + r cosine w), w the square of the waves' speed.
        const double choked = choking * std::sqrt(waves_);
        const double calm = calm_ * waves_;
        return speed > choked ? std::min(speed, choked + std::cbrt(choked * calm)) : speed;
    }

    /// Whether drag outgrows whatever more speed adds to the drive.
    bool has_one_speed() const { return drag_ * diffusivity_ > rise_ * made_; }

    /// Whether the counter-flow at this speed carries next to nothing.
    bool is_negligible(double speed) const {
        return made_by_gradient_ * speed * speed <= negligible * diffusivity_ * diffusivity_;
    }

    template <bool WithAll>
    Closure at(double speed) const {
        Closure r;
        const double square = speed * speed;
        // How far it stirs itself, m, and what that does across the pipe.
        const double calm = calm_ * waves_, stirred = 1.0 / (square + calm), m = square * stirred;
        const double mixing = m * speed, mixing_by_speed = m * (1.0 + 2.0 * calm * stirred);
        const double x = stir_ * mixing / diffusivity_;
        const double root = std::sqrt((1.0 - x) * (1.0 - x) + rounding);
        constexpr double at_rest = 0.00990195135927845;  // (sqrt(1 + rounding) - 1)/2
        const double lateral = diffusivity_ * (0.5 * (1.0 + x + root) - at_rest);
        const double lateral_by_mixing = stir_ * 0.5 * (1.0 + (x - 1.0) / root);
        // The contrast carried, and the share of the gradient that it leaves.
        const double made = made_ * speed, over = 1.0 / (lateral * most_ + made);
        const double left = lateral * most_ * over, taken = made * over;
        r.carried = taken * most_;
        const double carried_by_made = left * most_ * over,
                     carried_by_lateral = -taken * most_ * most_ * over;
        r.carried_by_speed =
            carried_by_made * made_ + carried_by_lateral * lateral_by_mixing * mixing_by_speed;
        const double left_by_made = -left * over, left_by_lateral = taken * most_ * over;
        const double left_by_speed =
            left_by_made * made_ + left_by_lateral * lateral_by_mixing * mixing_by_speed;
        // Drag and inertia against drive.
        const double force = drive_ + rise_ * r.carried;
        const double limit = force > 0.0 ? 1.0 / (choking * choking * waves_) : 0.0;
        const double free = 1.0 - mixing * mixing * limit, free_by_mixing = -2.0 * mixing * limit;
        r.residual = drag_ * speed + inertia_ * left * square - force * free;
        r.by_speed = drag_ + inertia_ * (2.0 * left * speed + left_by_speed * square) -
                     rise_ * r.carried_by_speed * free - force * free_by_mixing * mixing_by_speed;
        if constexpr (WithAll) {
            const double mixing_by_waves = -mixing * calm_ * stirred;
            const double lateral_by_waves = lateral_by_mixing * mixing_by_waves;
            const double free_by_waves = free_by_mixing * mixing_by_waves + mixing * mixing * limit / waves_;
            const double by_waves = inertia_ * left_by_lateral * lateral_by_waves * square -
                                    rise_ * carried_by_lateral * lateral_by_waves * free -
                                    force * free_by_waves;
            const double made_slope = made_by_gradient_ * speed;
            r.carried_by_gradient =
                carried_by_made * made_slope + carried_by_lateral * lateral_by_waves * waves_by_gradient_;
            r.by_gradient =
                (inertia / contrast_ * left + inertia_ * left_by_made * made_slope) * square -
                (drive_by_gradient_ + rise_by_gradient_ * r.carried + rise_ * carried_by_made * made_slope) *
                    free +
                by_waves * waves_by_gradient_;
            const double carried_by_most = taken * taken, left_by_most = lateral * made * over * over;
            r.carried_by_contrast =
                most_carried * carried_by_most + carried_by_lateral * lateral_by_waves * waves_by_contrast_;
            r.by_contrast = (most_carried * inertia_ * left_by_most - inertia_ * left / contrast_) * square -
                            rise_ * most_carried * carried_by_most * free + by_waves * waves_by_contrast_;
        }
        return r;
    }

  private:
    double diffusivity_, contrast_;
    double drag_, drive_, drive_by_gradient_, rise_, rise_by_gradient_, made_, made_by_gradient_, most_,
        stir_;
    double inertia_, waves_, waves_by_gradient_, waves_by_contrast_, calm_;
};

/// A speed near the one at which the residual vanishes, and what the closure says there.
struct Found {
    double speed = 0.0;
    Closure closure;
    double step() const { return closure.by_speed > 0.0 ? -closure.residual / closure.by_speed : HUGE_VAL; }
};

/// Newton's method, until what is left of the way is so short that its tangent does. From a guess where there
/// is but one speed; else from above, in a bracket: of several speeds the highest counts.
Found speed_of(const Law& law, double guess) {
    constexpr double near = 3e-4, above = 1.1;
    constexpr int most = 100;
    if (guess > 0.0 && law.has_one_speed()) {
        double speed = guess;
        // What a step tried and rejected may have left no guess at all.
        for (int i = 0; i < most && std::isfinite(speed); ++i) {
            const Found at{speed, law.at<false>(speed)};
            if (std::abs(at.step()) <= near * speed) return at;
            speed = std::max(speed + at.step(), 0.1 * speed);
        }
    }
    double low = 0.0, high = law.upper_speed();
    if (!(high > 0.0) || law.is_negligible(high)) return {};
    // A guess serves where the residual is above zero from the bound on down to it.
    if (guess > 0.0 && above * guess < high) {
        const Closure c = law.at<false>(above * guess);
        if (c.residual > 0.0 && c.by_speed > 0.0) high = above * guess;
    }
    double speed = high;
    for (int i = 0;; ++i) {
        const Found at{speed, law.at<false>(speed)};
        (at.closure.residual > 0.0 ? high : low) = speed;
        if (std::abs(at.step()) <= near * speed || i == most) return at;
        speed += at.step();
        if (!(speed > low && speed < high)) speed = 0.5 * (low + high);
    }
}

}  // namespace

CounterFlowExchange counter_flow(const CounterFlowPipe& pipe, const CounterFlowGas& gas, double gradient,
                                 double contrast, double* known, CounterFlowSlopes slopes) noexcept {
    const double diffusivity = gas.diffusivity, steep = std::max(gradient, least_gradient);
    // However close to the mouth: without this the flow would depend on how finely a leg is cut there.
    const double reached = reach * pipe.radius;
    const Law law(pipe, gas, steep, contrast + reached * steep);
    auto [speed, c] = speed_of(law, known ? *known : 0.0);
    if (known) *known = std::isfinite(speed) ? speed : 0.0;
    CounterFlowExchange exchange{diffusivity, diffusivity, 0.0};
    if (!(speed > 0.0)) return exchange;
    const bool with_slopes = slopes == CounterFlowSlopes::wanted;
    if (with_slopes) {
        if (c.by_speed > 0.0) speed = std::max(speed - c.residual / c.by_speed, 0.5 * speed);
        c = law.at<true>(speed);
    }
    double flow = speed * c.carried;
    if (c.by_speed > 0.0) {
        const double by_speed = (c.carried + speed * c.carried_by_speed) / c.by_speed;
        flow = std::max(flow - by_speed * c.residual, 0.0);
        if (with_slopes) {
            exchange.slope += speed * c.carried_by_gradient - by_speed * c.by_gradient;
            exchange.contrast_slope = speed * c.carried_by_contrast - by_speed * c.by_contrast;
            exchange.slope += reached * exchange.contrast_slope;
        }
    }
    exchange.spread += flow / steep;
    return exchange;
}

}  // namespace oxfade::flow
