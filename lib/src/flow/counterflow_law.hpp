#pragma once

/// The law of counter-flow for one pipe, E = double, or for eight at once, E = Lane: see
/// oxfade/flow/counterflow.hpp for what it says. It includes no standard library: see flow/lane.hpp.
#include "flow/lane.hpp"

namespace oxfade::flow::OXFADE_ISA {

struct CounterFlowConstants {
    static constexpr double pi = 3.14159265358979323846, infinite = 1e300;

    // Weak flow in level pipe, u = (g' G/(8 nu)) (a^2 - r^2) r sin(angle): U = weak_speed a^3 g' G/nu, and a
    // flux of (7/46080) Ra^2 D G [erdogan_chatwin_1967].
    static constexpr double weak_speed = 4.0 / pi * (2.0 / 15.0) / 8.0;
    static constexpr double weak_contrast = 7.0 / 46080.0 / (weak_speed * weak_speed);
    // Rayleigh numbers of onset in vertical pipe: walls that let nothing through [taylor_1954], and walls
    // that hold the temperature (Ostroumov 1952).
    static constexpr double onset = 67.95, onset_of_held_walls = 215.6;
    static constexpr double lift = 1.0 / (onset * weak_speed * weak_contrast);
    static constexpr double share_of_held_walls = onset / onset_of_held_walls;

    // Fitted to the simulations of validation/counterflow_law.md.
    static constexpr double most_carried = 2.42;  // sigma: most of the contrast that the streams carry
    static constexpr double inertia = 1.87;       // phi: gas has to be set moving along the pipe
    static constexpr double choking = 0.434;      // F: Froude number at which stirring takes all of the drive
    static constexpr double stirring = 0.136;     // chi: diffusivity across the pipe over radius and speed
    static constexpr double stratification = 6.9;  // r: how strongly light over heavy keeps it from stirring

    // Assumed; the results hardly depend on them.
    static constexpr double least_cosine = 0.01;  // no pipe hangs plumb: half a degree starts the flow
    // Radii along the pipe over which the streams feel each other's contrast, and over which temperature
    // makes contrast where composition does not.
    static constexpr double reach = 1.0, longest = 30.0;
    static constexpr double rounding = 0.04;  // of the corner of max(D, chi a m U)
    static constexpr double least_contrast = 1e-12, least_gradient = 1e-30;
    static constexpr double negligible = 1e-6;  // of the molecular flux
};

/// The arguments of flow::counter_flow, and what takes divisions.
template <class E>
struct CounterFlowCase {
    E radius, inverse_radius, sine, cosine;
    E reduced_gravity, diffusivity, inverse_diffusivity, viscosity, other_gradient;
    E gradient, contrast;
};

/// As flow::CounterFlowExchange.
template <class E>
struct CounterFlowResult {
    E spread, slope, contrast_slope;
};

template <class E>
class CounterFlowLaw : CounterFlowConstants {
  public:
    using Truth = decltype(E{} < E{});

    /// What the closure says at a speed U. `residual` is zero at the speed sought.
    struct Closure {
        E residual, by_speed, carried, carried_by_speed;  // carried: s

        E step() const { return select(by_speed > 0.0, -residual / by_speed, E{} + infinite); }
    };

    struct Slopes {
        E by_gradient, by_contrast, carried_by_gradient, carried_by_contrast;
    };

    explicit CounterFlowLaw(const CounterFlowCase<E>& c)
        : case_(c), contrast_(most(c.contrast, E{} + least_contrast)) {
        const E a = c.radius, g = c.reduced_gravity, other = c.other_gradient;
        drag_ = c.viscosity * (1.0 / weak_speed) * c.inverse_radius * c.inverse_radius;
        along_ = c.cosine * (g * c.gradient + other);
        const E across = least_cosine * g * c.gradient;
        drive_ = a * root(along_ * along_ + across * across);
        // Composition and temperature pull by what the streams carry of them.
        other_by_gradient_ = share_of_held_walls * other / c.gradient;
        rise_ = lift * c.sine * (g + other_by_gradient_);
        made_ = weak_contrast * a * a * c.gradient;
        most_ = most_carried * contrast_;
        inverse_contrast_ = 1.0 / contrast_;
        inertia_ = inertia * c.gradient * inverse_contrast_;
        // Square of the speed of waves between the layers.
        length_ = 1.0 / (c.gradient + contrast_ * c.inverse_radius * (1.0 / longest));
        pull_ = magnitude(other) * length_;
        waves_ = a * contrast_ * (g + pull_);
        calm_ = stratification * c.cosine * waves_;
        limit_ = 1.0 / (choking * choking * waves_);
    }

    /// Not less than the speed sought. @param wanted where it matters
    E upper_speed(const Truth& wanted) const {
        const E pull = most(rise_, E{});
        const E weak = drag_ - pull * made_ * case_.inverse_diffusivity;
        E speed = (drive_ + pull * most_) / drag_;
        speed = select(weak > 0.0, least(speed, drive_ / weak), speed);
        // Where it stirs, (m U)^2 <= F^2 w with m = U^2/(U^2 + r cosine w), w the square of the waves' speed.
        const E choked = choking * root(waves_);
        if (!any(both(wanted, speed > choked))) return speed;
        return select(speed > choked, least(speed, choked + cube_root(choked * calm_)), speed);
    }

    /// Whether drag outgrows whatever more speed adds to the drive.
    Truth has_one_speed() const { return drag_ * case_.diffusivity > rise_ * made_; }

    /// Whether the counter-flow at this speed carries next to nothing.
    Truth is_negligible(const E& speed) const {
        const E way = case_.radius * speed;
        return weak_contrast * way * way <= negligible * case_.diffusivity * case_.diffusivity;
    }

    /// @param slopes filled in where asked for
    template <bool WithSlopes = false>
    [[gnu::always_inline]] Closure at(const E& speed, Slopes* slopes = nullptr) const {
        Closure r;
        const E square = speed * speed;
        // How far it stirs itself, m, and what that does across the pipe.
        const E stirred = 1.0 / (square + calm_), m = square * stirred;
        const E mixing = m * speed, mixing_by_speed = m * (1.0 + 2.0 * calm_ * stirred);
        const E stir = stirring * case_.radius, x = stir * mixing * case_.inverse_diffusivity;
        const E corner = root((1.0 - x) * (1.0 - x) + rounding);
        constexpr double at_rest = 0.00990195135927845;  // (sqrt(1 + rounding) - 1)/2
        const E lateral = case_.diffusivity * (0.5 * (1.0 + x + corner) - at_rest);
        const E lateral_by_mixing = stir * 0.5 * (1.0 + (x - 1.0) / corner);
        // The contrast carried, and the share of the gradient that it leaves.
        const E made = made_ * speed, over = 1.0 / (lateral * most_ + made);
        const E left = lateral * most_ * over, taken = made * over;
        r.carried = taken * most_;
        const E carried_by_made = left * most_ * over, carried_by_lateral = -taken * most_ * most_ * over;
        r.carried_by_speed =
            carried_by_made * made_ + carried_by_lateral * lateral_by_mixing * mixing_by_speed;
        const E left_by_made = -left * over, left_by_lateral = taken * most_ * over;
        const E left_by_speed = left_by_made * made_ + left_by_lateral * lateral_by_mixing * mixing_by_speed;
        // Drag and inertia against drive.
        const E force = drive_ + rise_ * r.carried;
        const E limit = select(force > 0.0, limit_, E{});
        const E free = 1.0 - mixing * mixing * limit, free_by_mixing = -2.0 * mixing * limit;
        r.residual = drag_ * speed + inertia_ * left * square - force * free;
        r.by_speed = drag_ + inertia_ * (2.0 * left * speed + left_by_speed * square) -
                     rise_ * r.carried_by_speed * free - force * free_by_mixing * mixing_by_speed;
        if constexpr (WithSlopes) {
            const E a = case_.radius, g = case_.reduced_gravity;
            const E across = least_cosine * g * case_.gradient;
            const E drive_by_gradient = select(
                drive_ > 0.0, a * a * g * (case_.cosine * along_ + least_cosine * across) / drive_, E{});
            const E rise_by_gradient = -lift * case_.sine * other_by_gradient_ / case_.gradient;
            const E waves_by_gradient = -a * contrast_ * pull_ * length_;
            const E waves_by_contrast = a * (g + pull_) - contrast_ * pull_ * length_ * (1.0 / longest);
            const E by_calm = stratification * case_.cosine;
            const E mixing_by_waves = -mixing * by_calm * stirred;
            const E lateral_by_waves = lateral_by_mixing * mixing_by_waves;
            const E free_by_waves = free_by_mixing * mixing_by_waves + mixing * mixing * limit / waves_;
            const E by_waves = inertia_ * left_by_lateral * lateral_by_waves * square -
                               rise_ * carried_by_lateral * lateral_by_waves * free - force * free_by_waves;
            const E made_slope = weak_contrast * a * a * speed;
            slopes->carried_by_gradient =
                carried_by_made * made_slope + carried_by_lateral * lateral_by_waves * waves_by_gradient;
            slopes->by_gradient =
                (inertia * inverse_contrast_ * left + inertia_ * left_by_made * made_slope) * square -
                (drive_by_gradient + rise_by_gradient * r.carried + rise_ * carried_by_made * made_slope) *
                    free +
                by_waves * waves_by_gradient;
            const E carried_by_most = taken * taken, left_by_most = lateral * made * over * over;
            slopes->carried_by_contrast =
                most_carried * carried_by_most + carried_by_lateral * lateral_by_waves * waves_by_contrast;
            slopes->by_contrast =
                inertia_ * (most_carried * left_by_most - inverse_contrast_ * left) * square -
                rise_ * most_carried * carried_by_most * free + by_waves * waves_by_contrast;
        }
        return r;
    }

  private:
    CounterFlowCase<E> case_;
    E contrast_, inverse_contrast_, drag_, along_, drive_, other_by_gradient_, rise_, made_, most_, inertia_;
    E length_, pull_, waves_, calm_, limit_;
};

/// A speed close to the one at which the residual vanishes, and what the closure says there; 0 where next to
/// nothing flows.
template <class E>
struct CounterFlowFound {
    E speed;
    typename CounterFlowLaw<E>::Closure closure;
};

/// Newton's method, until what is left of the way is so short that its tangent does. From a guess where there
/// is but one speed; else from above, in a bracket: of several speeds the highest counts.
template <class E>
CounterFlowFound<E> counter_flow_speed(const CounterFlowLaw<E>& law, const E& guess) {
    constexpr double near = 3e-4, above = 1.1, largest = 1e30;
    constexpr int most_steps = 100;
    using Truth = typename CounterFlowLaw<E>::Truth;
    // What a step tried and rejected may have left no guess at all.
    Truth known = both(both(guess > 0.0, guess < largest), law.has_one_speed());
    CounterFlowFound<E> found;
    found.speed = select(known, guess, E{});
    Truth going = known;
    for (int i = 0; any(going); ++i) {
        found.closure = law.at(found.speed);
        const E step = found.closure.step();
        going = both(going, not_so(magnitude(step) <= near * found.speed));
        if (i == most_steps || !any(going)) break;
        found.speed = select(going, most(found.speed + step, 0.1 * found.speed), found.speed);
    }
    known = both(known, not_so(going));
    if (!any(not_so(known))) return found;
    E low{}, high = law.upper_speed(not_so(known));
    const Truth flows = both(not_so(known), both(high > 0.0, not_so(law.is_negligible(high))));
    found.speed = select(known, found.speed, E{});
    if (!any(flows)) return found;
    // A guess serves where the residual is above zero from the bound on down to it.
    const E better = above * guess;
    const auto guessed = law.at(better);
    high =
        select(both(both(guess > 0.0, better < high), both(guessed.residual > 0.0, guessed.by_speed > 0.0)),
               better, high);
    found.speed = select(flows, high, found.speed);
    going = flows;
    for (int i = 0;; ++i) {
        found.closure = law.at(found.speed);
        const E step = found.closure.step();
        high = select(found.closure.residual > 0.0, found.speed, high);
        low = select(found.closure.residual > 0.0, low, found.speed);
        going = both(going, not_so(magnitude(step) <= near * found.speed));
        if (i == most_steps || !any(going)) break;
        const E next = found.speed + step;
        found.speed =
            select(going, select(both(next > low, next < high), next, 0.5 * (low + high)), found.speed);
    }
    return found;
}

/// @param speed a guess, or 0; then what was found
template <class E, bool WithSlopes>
CounterFlowResult<E> counter_flow_result(CounterFlowCase<E> c, E& speed) {
    const E diffusivity = c.diffusivity;
    // However close to the mouth: without this the flow would depend on how finely a leg is cut there.
    const E reached = CounterFlowConstants::reach * c.radius;
    c.gradient = most(c.gradient, E{} + CounterFlowConstants::least_gradient);
    c.contrast += reached * c.gradient;
    const CounterFlowLaw<E> law(c);
    auto [now, at] = counter_flow_speed(law, speed);
    speed = now;
    CounterFlowResult<E> result{diffusivity, diffusivity, E{}};
    const auto flows = now > 0.0;
    if (!any(flows)) return result;
    typename CounterFlowLaw<E>::Slopes slopes;
    if constexpr (WithSlopes) {
        now = select(at.by_speed > 0.0, most(now - at.residual / at.by_speed, 0.5 * now), now);
        at = law.template at<true>(now, &slopes);
    }
    const auto regular = at.by_speed > 0.0;
    const E by_speed = select(regular, (at.carried + now * at.carried_by_speed) / at.by_speed, E{});
    const E flux = select(regular, most(now * at.carried - by_speed * at.residual, E{}), now * at.carried);
    result.spread += select(flows, flux / c.gradient, E{});
    if constexpr (WithSlopes) {
        const auto counts = both(flows, regular);
        const E by_contrast = now * slopes.carried_by_contrast - by_speed * slopes.by_contrast;
        result.contrast_slope = select(counts, by_contrast, E{});
        result.slope += select(
            counts, now * slopes.carried_by_gradient - by_speed * slopes.by_gradient + reached * by_contrast,
            E{});
    }
    return result;
}

}  // namespace oxfade::flow::OXFADE_ISA
