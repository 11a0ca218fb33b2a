#pragma once

#include "engine/dynamics.hpp"
#include "engine/link_friction.hpp"

namespace oxfade::engine {

/// A pressure in every node, with pipe friction between them (model.md 5.4).
class ResolvedDynamics : public Dynamics {
  public:
    using Dynamics::Dynamics;
    Flows make_flows() const override;
    std::unique_ptr<Linearisation> linearise() const override;

  private:
    void gas_of(const State& x, int r, Flows& flows, State& dxdt) const override;
    void links_of(const State& x, int r, Flows& flows, State& dxdt) const;
    void outlet_of(const State& x, int node, Flows& flows) const;
    /// Flows that would keep the pressure uniform: what disturbed ones fall back to at once in ordinary pipe.
    void steady_flows(int r, Flows& flows) const;
    void mixing_of(const State& x, int r, Flows& flows) const;
    /// Flow from node a to node b, the last one known given as a guess; and its slopes.
    struct Passage {
        double flow = 0.0;
        Flows::Slopes slopes;
    };
    Passage passage(const State& x, int a, int b, const LinkFriction& friction, double guess, double towards,
                    const Flows& flows) const;
    const Thermal& thermal(const Flows& flows, int node) const {
        return flows.thermal[static_cast<std::size_t>(network().riser_of[static_cast<std::size_t>(node)])];
    }
    double pressure_per_mole(const Flows& flows, int node) const {
        return network().node_pressure_per_mole[static_cast<std::size_t>(node)] * thermal(flows, node).warmth;
    }
    double pressure(const State& x, int node, const Flows& flows) const {
        return x[layout().gas(node)] * pressure_per_mole(flows, node);
    }
};

}  // namespace oxfade::engine
