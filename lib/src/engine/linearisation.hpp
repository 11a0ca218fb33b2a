#pragma once

#include <vector>

#include "engine/dynamics.hpp"
#include "engine/tree_matrix.hpp"

namespace oxfade::engine {

/// The Jacobian of the rates at one state, less the weak effect of composition on the flows through the molar
/// mass, and the solution of (shift I - J) u = rhs with it in a time linear in the number of nodes.
///
/// All entries are written as flows between vessels, so that the columns sum to zero and every balance
/// survives the linear algebra. How the gas itself moves is left to those that derive from it, one for each
/// dynamics; the air that flows carry along, and the totals of what has left, follow here.
class Linearisation {
  public:
    explicit Linearisation(const Dynamics& dynamics);
    virtual ~Linearisation() = default;
    Linearisation(const Linearisation&) = delete;
    Linearisation& operator=(const Linearisation&) = delete;

    /// Takes J at state x, whose flows are given, and factorises shift I - J.
    /// @param dxdt there; with it J is such that a long step stays stable: mixing counts by what it is
    /// becoming
    void prepare(const State& x, const Flows& flows, double shift, const State* dxdt = nullptr);
    void solve(const State& rhs, State& u);

  protected:
    bool holds(int r) const {
        return dynamics_.modes().risers[static_cast<std::size_t>(r)].supply == SupplyMode::hold;
    }
    double moles_in_riser_vessel(int r) const;

    const Dynamics& dynamics_;
    const Network& net_;
    const Layout& layout_;
    double shift_ = 1.0;
    const Flows* flows_ = nullptr;  ///< valid from prepare() to the last solve()
    State x_;

    // How a solution changes the flows of gas: filled in by solve_gas() and gas_changes().
    std::vector<double> supply_change_;                           ///< of each riser
    std::vector<double> out_change_, link_change_, loop_change_;  ///< of one riser: nodes, links, loops
    std::vector<double> relative_;                                ///< change of a node's gas over that gas
    std::vector<double> moles_;                                   ///< in each node

    /// What rides on the flows: traces come from upstream as it is, and mix without moving anything.
    enum class Rider { air, trace };
    /// Entries of a matrix over a riser's nodes for one; its pivots without what else there is. Not
    /// factorised yet.
    void transport(int r, Rider rider, TreeMatrix& matrix) const;

  private:
    /// What only plants with water have; before the gas, which feels it.
    virtual void prepare_water() {}
    virtual void solve_water(const State&, State&) {}
    virtual void prepare_gas() = 0;
    /// Entries of the gas, and the changes of the supplies.
    virtual void solve_gas(const State& rhs, State& u) = 0;
    /// False where none of a riser's gas moves: then the changes are not filled in.
    virtual bool gas_changes(int r, const State& u) = 0;

    void look_ahead(int r, const State& dxdt);
    void solve_source_air(const State& rhs, State& u) const;
    void solve_air(int r, bool moves, const State& rhs, State& u);
    void add_moved_air(int r);
    void solve_totals(int r, bool moves, const State& rhs, State& u) const;
    Flows::Face face(int node) const;

    double source_air_diagonal_ = 1.0;
    bool for_long_steps_ = false;
    TreeMatrix air_;
    std::vector<Flows::Face> faces_;
    std::vector<double> work_;
    std::vector<double> steep_;             ///< slope of the mixing of each link, or what it is becoming
    std::vector<double> ahead_, g_, room_;  ///< compositions at the end of the step, and the mixing there
};

}  // namespace oxfade::engine
