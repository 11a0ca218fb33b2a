#pragma once

#include "engine/linearisation.hpp"
#include "engine/resolved_dynamics.hpp"

namespace oxfade::engine {

/// A pressure a node: a tree matrix for each riser, and the receiver bordering them where gas enters.
class ResolvedLinearisation : public Linearisation {
  public:
    explicit ResolvedLinearisation(const ResolvedDynamics& dynamics);

  private:
    void prepare_gas() override;
    void prepare_tree(int r);
    void solve_gas(const State& rhs, State& u) override;
    bool gas_changes(int r, const State& u) override;
    /// Change of the supply that keeps the node where gas enters as it is.
    double asked_change(int r, const State& u) const;
    double at_entry(int r, const std::vector<double>& b) const;

    TreeMatrix gas_;
    double source_diagonal_ = 1.0;
    std::vector<double> response_;  ///< of each riser's gas to one unit more where gas enters
    std::vector<double> right_;
};

}  // namespace oxfade::engine
