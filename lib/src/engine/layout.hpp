#pragma once

#include <Eigen/Core>
#include <cstddef>
#include <vector>

#include "engine/network.hpp"

namespace oxfade::engine {

using State = Eigen::VectorXd;

/// Where things stand in the state vector. All entries are moles, so that every balance is a sum of entries,
/// and a Runge-Kutta or Rosenbrock step keeps it to rounding.
///
/// Gas is counted by vessels of one pressure: the receiver and every riser, or every zone between low points,
/// or every node where friction is resolved. Where there is water, gas that has come out of it (or gone into
/// it) is counted apart from air and product, as are vapour, the water itself and what is dissolved in it.
class Layout {
  public:
    explicit Layout(const Network& net);

    int risers = 0, nodes = 0;
    int vessels = 0;  ///< of gas beside the receiver, entries 2 to 2 + vessels

    static constexpr int source = 0;      ///< gas in the receiver, or left in the cylinders
    static constexpr int source_air = 1;  ///< of it, air
    /// Gas in the vessel a riser's switches sense: all of the riser, or the node where gas enters.
    int riser(int r) const { return riser_entry_[static_cast<std::size_t>(r)]; }
    /// Gas in the vessel a node is part of.
    int gas(int node) const { return gas_entry_[static_cast<std::size_t>(node)]; }
    /// Share of that vessel's gas that is in the node; where cells move, below the knee.
    double part(int node) const { return part_[static_cast<std::size_t>(node)]; }
    /// Gas in a node when there is so much in its vessel [mol].
    double moles(double vessel, int node) const {
        const auto i = static_cast<std::size_t>(node);
        if (!moving_ || vessel <= knee_[i]) return vessel * part_[i];
        return knee_[i] * part_[i] + (vessel - knee_[i]) * swell_[i];
    }
    double moles(const State& x, int node) const { return moles(x[gas(node)], node); }
    /// How much of what its vessel gains a node takes up.
    double gain(double vessel, int node) const {
        const auto i = static_cast<std::size_t>(node);
        return !moving_ || vessel <= knee_[i] ? part_[i] : swell_[i];
    }
    double gain(const State& x, int node) const { return gain(x[gas(node)], node); }
    bool moving() const { return moving_; }                 ///< some cells move with their gas
    int air(int node) const { return 2 + vessels + node; }  ///< air in a node
    enum Total { vented = 0, vented_air = 1, leaked = 2, leaked_air = 3 };
    int total(int r, Total which) const { return 2 + vessels + nodes + 4 * r + which; }
    int dynamic_size() const { return 2 + vessels + nodes; }  ///< of gas and air, without the running totals
    int size() const { return dynamic_size() + 4 * risers + water_size(); }

    int spots = 0;  ///< low points; without any, none of what follows is there
    bool wet() const { return spots > 0; }
    /// Gas beside air and product: what the water has given, less what it has taken.
    enum Trace { oxygen = 0, nitrogen = 1, vapour = 2 };
    static constexpr int traces = 3;
    int trace(Trace which, int node) const { return water_begin() + which * nodes + node; }
    int film(int node) const { return water_begin() + traces * nodes + node; }  ///< condensed on the wall
    int water(int spot) const { return water_begin() + (traces + 1) * nodes + spot; }
    /// In the water of a low point; of oxygen and nitrogen.
    int dissolved(int spot, Trace which) const { return water(spot) + (1 + which) * spots; }
    /// Has left a riser through vents and leaks.
    int gone(int r, Trace which) const { return water(0) + 3 * spots + traces * r + which; }

  private:
    int water_begin() const { return dynamic_size() + 4 * risers; }
    int water_size() const { return wet() ? (traces + 1) * nodes + 3 * spots + traces * risers : 0; }

    std::vector<int> riser_entry_, gas_entry_;
    std::vector<double> part_, swell_, knee_;
    bool moving_ = false;
};

}  // namespace oxfade::engine
