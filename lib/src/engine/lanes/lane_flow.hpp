#pragma once

#include "engine/lanes/lane.hpp"
#include "engine/lanes/lane_run.hpp"

namespace oxfade::engine::OXFADE_ISA {

/// As flow::Draught: what a hole passes over its area and 1/sqrt(M), and the slopes in both pressures.
template <class E>
struct LaneDraught {
    E value, slope_upstream, slope_downstream;
};

/// r^(2/7) for r in [0.5, 1]: a parabola, and Halley's iteration for s^7 = r^2.
template <class E>
E two_sevenths(const E& r) {
    const E square = r * r;
    E s = 0.56063885 + r * (0.60597104 - 0.16720748 * r);
    for (int k = 0; k < 2; ++k) {
        const E cube = s * s * s, seventh = cube * cube * s;
        s *= (6.0 * seventh + 8.0 * square) / (8.0 * seventh + 6.0 * square);
    }
    return s;
}

/// flow::draught for several at once.
template <class E>
LaneDraught<E> lane_draught(const LaneBatch& law, const E& upstream, const E& downstream, const E& factor) {
    const auto flows = upstream > downstream;
    const E safe = select(flows, upstream, downstream + 1.0);
    const E ratio = downstream / safe;
    const E r = least(most(ratio, E{} + law.critical_ratio), E{} + law.edge);
    const E s = two_sevenths(r);
    const E s4 = s * s * s * s;
    E psi = root(7.0 * s4 * s * (1.0 - s));
    E slope = s4 * (5.0 - 6.0 * s) * s / (r * psi);
    const auto choked = ratio <= law.critical_ratio;
    psi = select(choked, E{} + law.choked, psi);
    slope = select(choked, E{}, slope);
    const double width = 1.0 - law.edge;
    const E u = (1.0 - ratio) / width;
    const double end_slope = -law.edge_slope * width / law.edge_value;
    const double a = 2.0 - end_slope, b = end_slope - 1.0;
    const auto rounded = ratio > law.edge;
    psi = select(rounded, law.edge_value * u * (a + b * u), psi);
    slope = select(rounded, -law.edge_value * (a + 2.0 * b * u) / width, slope);
    return {select(flows, upstream * psi * factor, E{}), select(flows, (psi - ratio * slope) * factor, E{}),
            select(flows, slope * factor, E{})};
}

}  // namespace oxfade::engine::OXFADE_ISA
