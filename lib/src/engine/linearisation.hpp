#pragma once

#include <Eigen/LU>
#include <vector>

#include "engine/dynamics.hpp"

namespace oxfade::engine {

/// The Jacobian of the rates at one state, less the weak effect of composition on the flows through the molar
/// mass, and the solution of (shift I - J) u = rhs with it in a time linear in the number of nodes.
///
/// Pressures form an arrow matrix (every riser meets the receiver only), air in the nodes a tree; loops are a
/// small correction (Woodbury). All entries are written as flows between vessels, so that the columns sum to
/// zero and every balance survives the linear algebra.
class Linearisation {
  public:
    explicit Linearisation(const Dynamics& dynamics);

    /// Takes J at state x, whose flows are given, and factorises shift I - J.
    void prepare(const State& x, const Flows& flows, double shift);
    void solve(const State& rhs, State& u);

  private:
    void prepare_riser(int r);
    void prepare_loops(int r);
    void solve_moles(const State& rhs, State& u);
    void solve_air(int r, const State& rhs, State& u);
    void eliminate(const RiserNet& riser, std::vector<double>& b) const;
    void correct_for_loops(int r, std::vector<double>& b);
    void add_flow_changes(int r, const State& u, std::vector<double>& b);
    void solve_totals(int r, const State& rhs, State& u) const;

    const Dynamics& dynamics_;
    const Network& net_;
    Layout layout_;
    double shift_ = 1.0;
    const Flows* flows_ = nullptr;  ///< valid from prepare() to the last solve()
    State x_;

    double source_diagonal_ = 1.0;        ///< arrow: receiver's pivot
    std::vector<double> riser_diagonal_;  ///< arrow: each riser's pivot
    double source_air_diagonal_ = 1.0;
    std::vector<double> moles_;              ///< in each node
    std::vector<double> pivot_, up_, down_;  ///< tree: d(rate)/d(air) couplings and pivots
    struct LoopFactor {
        std::vector<double> weight_first, weight_second;  ///< d(flux)/d(air) at either end
        std::vector<std::vector<double>> response;        ///< tree solution of each loop's column
        Eigen::PartialPivLU<Eigen::MatrixXd> capacitance;
    };
    std::vector<LoopFactor> loops_;
    std::vector<double> work_, need_, link_change_, loop_change_;
};

}  // namespace oxfade::engine
