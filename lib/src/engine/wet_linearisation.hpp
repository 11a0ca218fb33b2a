#pragma once

#include <array>

#include "engine/linearisation.hpp"
#include "engine/wet_dynamics.hpp"

namespace oxfade::engine {

/// Zones that water parts. What the water gives is solved for first: of the rates of the traces it takes what
/// rides on the flows as they are, and the exchange with the water; then the gas, which that exchange adds
/// to.
class WetLinearisation : public Linearisation {
  public:
    explicit WetLinearisation(const WetDynamics& dynamics);

  private:
    void prepare_gas() override;
    void prepare_water() override;
    void solve_water(const State& rhs, State& u) override;
    void solve_gas(const State& rhs, State& u) override;
    bool gas_changes(int r, const State& u) override;

    void solve_liquids(const State& rhs, State& u);
    void solve_dissolving(int r, Layout::Trace which, const State& rhs, State& u);
    void solve_vapour(int r, const State& rhs, State& u);
    void solve_gone(int r, const State& rhs, State& u) const;
    double slope(int zone) const;  ///< of a zone's outflow against its moles
    double film_fade(int node) const;

    const WetDynamics& wet_;
    TreeMatrix plain_, vapour_;
    std::vector<double> source_change_;  ///< of each node, by what the water gives
    std::vector<double> group_gain_;     ///< change of each group's net inflow
    std::vector<double>
        stiffness_;  ///< of each group: what its own change takes back, over the shift, plus 1
    double source_diagonal_ = 1.0;
    std::vector<double> need_, work_;
};

}  // namespace oxfade::engine
