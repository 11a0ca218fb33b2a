#pragma once

#include <Eigen/Core>
#include <vector>

#include "engine/modes.hpp"
#include "engine/network.hpp"

namespace oxfade::engine {

using State = Eigen::VectorXd;

/// Where things stand in the state vector. All entries are moles, so that every balance is a sum of entries,
/// and a Runge-Kutta or Rosenbrock step keeps it to rounding.
struct Layout {
    int risers = 0, nodes = 0;

    static constexpr int source = 0;                       ///< gas in the receiver, or left in the cylinders
    static constexpr int source_air = 1;                   ///< of it, air
    int riser(int r) const { return 2 + r; }               ///< gas in a riser
    int air(int node) const { return 2 + risers + node; }  ///< air in a node
    enum Total { vented = 0, vented_air = 1, leaked = 2, leaked_air = 3 };
    int total(int r, Total which) const { return 2 + risers + nodes + 4 * r + which; }
    int dynamic_size() const { return 2 + risers + nodes; }  ///< without the running totals
    int size() const { return dynamic_size() + 4 * risers; }
};

/// What flows at one state: kept from the evaluation of the rates for the linearisation and for events.
struct Flows {
    struct OfRiser {
        double pressure = 0.0;
        double draught = 0.0;        ///< outward (negative: inward) flow of unit area, times sqrt(M)
        double draught_slope = 0.0;  ///< against the riser's moles
        double supply = 0.0;         ///< [mol/s] through fill and supply
        double supply_slope_source = 0.0, supply_slope_riser = 0.0;  ///< against moles there
        double outflow = 0.0;                                        ///< vents and leaks [mol/s]
        double gain = 0.0;                                           ///< supply - outflow
    };
    std::vector<OfRiser> risers;
    std::vector<double> fraction;                  ///< air fraction of each node
    std::vector<double> out;                       ///< from each node to the outside [mol/s]
    std::vector<double> vent_area;                 ///< open vents of each node, effective [m2]
    std::vector<double> link;                      ///< from the parent into each node [mol/s]
    std::vector<double> mixing;                    ///< G of the link to the parent [mol/s]
    std::vector<double> mixing_slope;              ///< d(G dz)/d(dz)
    std::vector<std::vector<double>> loop;         ///< flow of each riser's loop links
    std::vector<std::vector<double>> loop_mixing;  ///< G of each riser's loop links
    std::vector<std::vector<double>> loop_mixing_slope;
    double source_fraction = 0.0;  ///< air fraction of what the source gives
};

/// Right-hand side between events: model.md eq. 1 to 12.
class Dynamics {
  public:
    explicit Dynamics(const Network& network);

    const Network& network() const { return net_; }
    const Layout& layout() const { return layout_; }
    State initial_state() const;
    Flows make_flows() const;

    const Modes& modes() const { return modes_; }
    /// Changes the modes; what depends on them is brought up to date.
    void set_modes(const Modes& modes);

    /// dx/dt, and the flows it is made of.
    void rates(const State& x, State& dxdt, Flows& flows) const;

    double pressure_upstream(const State& x) const;  ///< ahead of fill and supply [Pa]
    double riser_pressure(const State& x, int r) const {
        return x[layout_.riser(r)] * net_.risers[static_cast<std::size_t>(r)].pressure_per_mole;
    }
    double air_fraction(const State& x, int node) const;
    /// Most that the supply orifice can pass into a riser at the pressure it stands at [mol/s].
    double supply_capacity(const State& x, int r) const;
    /// Passage area open into a riser in its mode [m2].
    double passage_area(int r) const;

    double made_nitrogen() const;  ///< [mol/s] of product, in the present mode
    double made_air() const;       ///< [mol/s]

  private:
    void supply_of(const State& x, int r, Flows& flows) const;
    void outlets_of(const State& x, int r, Flows& flows) const;
    void links_of(int r, Flows& flows) const;
    void mixing_of(int r, Flows& flows) const;
    void species_of(int r, const Flows& flows, State& dxdt) const;
    void totals_of(int r, const Flows& flows, State& dxdt) const;

    const Network& net_;
    Layout layout_;
    Modes modes_;
    std::vector<double> vent_area_;  ///< open vents of each node
};

/// Spreads what each node needs over the tree links of a riser, leaves first: on return `link` of each node
/// is the flow from its parent. `need` is used up.
void sweep_flows(const Network& net, const RiserNet& riser, std::vector<double>& need,
                 std::vector<double>& link);
/// Adds the circulation that makes the sum of resistance x flow vanish round each loop (model.md eq. 6).
void close_loops(const Network& net, const RiserNet& riser, std::vector<double>& link,
                 std::vector<double>& loop);

}  // namespace oxfade::engine
