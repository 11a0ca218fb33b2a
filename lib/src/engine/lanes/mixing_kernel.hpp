#pragma once

#include "engine/lanes/lane.hpp"
#include "engine/lanes/mixing_view.hpp"
#include "flow/counterflow_law.hpp"
#include "oxfade/flow/dispersion.hpp"
#include "oxfade/flow/pipe_friction.hpp"

namespace oxfade::engine::OXFADE_ISA {

using flow::OXFADE_ISA::counter_flow_result;
using flow::OXFADE_ISA::CounterFlowCase;
using flow::OXFADE_ISA::CounterFlowResult;

/// Eq. 8 to 11 for eight pieces of links at once.
class MixingKernel {
  public:
    explicit MixingKernel(MixingView& view) : v_(view) {}

    void run() {
        for (int k = 0; k < v_.count; k += lanes) {
            if (v_.with_slopes) {
                pieces<true>(k);
            } else {
                pieces<false>(k);
            }
        }
    }

  private:
    static constexpr double least_gradient = 1e-9;  // [1/m]: what a fraction is computed to, over a metre
    static constexpr double least_spread = 1e-30;   // [m2/s]

    template <bool WithSlopes>
    void pieces(int k) {
        const auto of = [k](const double* row) { return load<Lane>(row + k); };
        const Lane before = gathered(v_.from + k), beyond = gathered(v_.to + k);
        const Lane rise = beyond - before, middle = 0.5 * (before + beyond), diffusivity = of(v_.diffusivity);
        const Lane inverse_mass = 1.0 / (v_.mass_product + middle * v_.mass_excess);
        const Lane viscosity = of(v_.viscosity) * inverse_mass * (1.0 + middle * v_.viscosity_excess);
        const Lane radius = of(v_.radius), inverse_diffusivity = of(v_.inverse_diffusivity);
        const Lane own = v_.molecular ? diffusivity : Lane{};
        Lane spread = own, slope = own, contrast_slope{};
        if (v_.buoyant) {
            const Lane inverse_over_all = of(v_.inverse_over_all);
            // Along the link, as far as it goes with the air's gradient.
            const Lane along = select(rise < 0.0, broadcast(-1.0), broadcast(1.0));
            CounterFlowCase<Lane> c;
            c.radius = radius;
            c.inverse_radius = of(v_.inverse_radius);
            c.sine = along * of(v_.sine);
            c.cosine = of(v_.cosine);
            c.reduced_gravity = v_.gravity * v_.mass_excess * inverse_mass;
            c.diffusivity = diffusivity;
            c.inverse_diffusivity = inverse_diffusivity;
            c.viscosity = viscosity;
            c.other_gradient =
                along * v_.gravity * (of(v_.other) * inverse_mass * inverse_over_all - of(v_.expansion));
            c.gradient = most(magnitude(rise) * inverse_over_all, broadcast(least_gradient));
            c.contrast = most(magnitude(middle - gathered(v_.mouth + k)), broadcast(least_gradient));
            Lane speed = of(v_.speed);
            const CounterFlowResult<Lane> found = counter_flow_result<Lane, WithSlopes>(c, speed);
            store(v_.speed + k, speed);
            const Lane left = v_.molecular ? Lane{} : diffusivity;
            spread = found.spread - left;
            slope = most(found.slope, diffusivity) - left;
            contrast_slope = most(found.contrast_slope, Lane{});
        }
        const Lane density = of(v_.density);
        if (v_.shear) {
            const Lane speed = magnitude(of(v_.flow)) * of(v_.inverse_density) * of(v_.inverse_area);
            const Lane more = shear(speed, radius, diffusivity, inverse_diffusivity, viscosity);
            spread += more;
            slope += more;
        }
        const Lane scale = density * of(v_.area_over_length);
        store(v_.g + k, scale * most(spread, broadcast(least_spread)));
        if constexpr (WithSlopes) {
            store(v_.slope + k, scale * most(slope, broadcast(least_spread)));
            store(v_.by_contrast + k, density * of(v_.area) * contrast_slope);
        }
    }

    Lane gathered(const int* nodes) const {
        Lane r{};
        for (int i = 0; i < lanes; ++i) r[i] = v_.fraction[nodes[i]];
        return r;
    }

    /// What flow spreads beyond molecular diffusion.
    static Lane shear(const Lane& speed, const Lane& radius, const Lane& diffusivity,
                      const Lane& inverse_diffusivity, const Lane& viscosity) {
        const Lane way = speed * radius;
        Lane more = way * way * inverse_diffusivity * (1.0 / 48.0);
        const Mask swift = 2.0 * way > flow::laminar_below * viscosity;
        if (any(swift)) {
            for (int i = 0; i < lanes; ++i) {
                if (swift[i])
                    more[i] = flow::shear_dispersion(speed[i], radius[i], diffusivity[i], viscosity[i]) -
                              diffusivity[i];
            }
        }
        return more;
    }

    MixingView& v_;
};

}  // namespace oxfade::engine::OXFADE_ISA
