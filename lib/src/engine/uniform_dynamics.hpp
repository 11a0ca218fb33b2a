#pragma once

#include "engine/dynamics.hpp"

namespace oxfade::engine {

/// One pressure in all of a riser (model.md eq. 5 and 6): what flows through a link follows from the
/// balances.
class UniformDynamics : public Dynamics {
  public:
    using Dynamics::Dynamics;
    std::unique_ptr<Linearisation> linearise() const override;

  private:
    void gas_of(const State& x, int r, Flows& flows, State& dxdt) const override;
    void outlets_of(const State& x, int r, Flows& flows) const;
    void links_of(int r, Flows& flows) const;
    void mixing_of(int r, Flows& flows) const;
    void breathe_line(const BreathingLine& line, int r, const MixingGas& gas, Flows& flows) const;
    bool swollen(int r, const Flows& flows) const;
};

/// Spreads what each node needs over the tree links of a riser, leaves first: on return `link` of each node
/// is the flow from its parent. `need` is used up.
void sweep_flows(const Network& net, const RiserNet& riser, std::vector<double>& need,
                 std::vector<double>& link);
/// Adds the circulation that makes the sum of resistance x flow vanish round each loop (model.md eq. 6).
void close_loops(const Network& net, const RiserNet& riser, std::vector<double>& link,
                 std::vector<double>& loop);

}  // namespace oxfade::engine
