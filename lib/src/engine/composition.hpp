#pragma once

#include <algorithm>

#include "engine/layout.hpp"

/// What the gas of a node is made of, from entries of the state or of any other vector of the same layout:
/// all sums are linear in them, so that they serve for rates as well, but where cells move.
namespace oxfade::engine {

/// Dry gas in a node [mol]. `entry(i)` is an entry of the vector.
template <class Entry>
double dry_moles(const Layout& layout, const Entry& entry, int node) {
    const double moles = layout.moles(entry(layout.gas(node)), node);
    return layout.wet() ? moles - entry(layout.trace(Layout::vapour, node)) : moles;
}

/// Oxygen in a node beyond the share that air and product give it for as much dry gas [mol]; 0 without water.
template <class Entry>
double extra_oxygen(const Network& net, const Layout& layout, const Entry& entry, int node) {
    if (!layout.wet()) return 0.0;
    const double oxygen = entry(layout.trace(Layout::oxygen, node));
    const double nitrogen = entry(layout.trace(Layout::nitrogen, node));
    return oxygen - net.gases.oxygen_product * (oxygen + nitrogen);
}

/// Mole fraction of oxygen in the dry gas of a node.
template <class Entry>
double oxygen_fraction(const Network& net, const Layout& layout, const Entry& entry, int node) {
    const double dry = std::max(dry_moles(layout, entry, node), 1e-30);
    const double plain = net.gases.oxygen(entry(layout.air(node)) / dry);
    return layout.wet() ? plain + extra_oxygen(net, layout, entry, node) / dry : plain;
}

/// What a node may hold at target less what it holds, as an amount of air [mol]: at target when >= 0.
template <class Entry>
double target_margin(const Network& net, const Layout& layout, const Entry& entry, int node) {
    if (!layout.wet()) {
        return net.target_air * layout.part(node) * entry(layout.gas(node)) - entry(layout.air(node));
    }
    const double plain = net.target_air * dry_moles(layout, entry, node) - entry(layout.air(node));
    const double excess = net.gases.oxygen_excess;
    return excess < 1e-12 ? plain : plain - extra_oxygen(net, layout, entry, node) / excess;
}

// The same of the state itself.
inline double dry_moles(const Layout& layout, const State& x, int node) {
    return dry_moles(
        layout, [&](int i) { return x[i]; }, node);
}
inline double oxygen_fraction(const Network& net, const Layout& layout, const State& x, int node) {
    return oxygen_fraction(
        net, layout, [&](int i) { return x[i]; }, node);
}
inline double target_margin(const Network& net, const Layout& layout, const State& x, int node) {
    return target_margin(
        net, layout, [&](int i) { return x[i]; }, node);
}

}  // namespace oxfade::engine
