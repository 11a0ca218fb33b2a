#pragma once

#include "engine/network.hpp"
#include "engine/uniform_dynamics.hpp"
#include "oxfade/plant/plant.hpp"

namespace oxfade::sample {

/// A plant opened up between events: its network, and rates and flows in a mode that the test sets.
struct Opened {
    explicit Opened(const plant::Plant& plant)
        : net(engine::build_network(plant)),
          dynamics(net),
          x(dynamics.initial_state()),
          dxdt(engine::State::Zero(x.size())),
          flows(dynamics.make_flows()) {}

    /// All risers in service with this supply; all vents open or shut.
    void set(engine::SupplyMode supply, bool vents_open = true) {
        engine::Modes modes = dynamics.modes();
        for (auto& riser : modes.risers) riser = {engine::Stage::in_service, supply};
        for (auto& vent : modes.vents) vent.open = vents_open;
        dynamics.set_modes(modes);
    }
    void evaluate() { dynamics.rates(0.0, x, dxdt, flows); }
    int node(std::size_t riser, std::size_t pipe, std::size_t cell = 0) const {
        return net.node_of[riser][pipe][cell];
    }
    double link(std::size_t riser, std::size_t pipe, std::size_t cell = 0) const {
        return flows.link[static_cast<std::size_t>(node(riser, pipe, cell))];
    }

    engine::Network net;
    engine::UniformDynamics dynamics;
    engine::State x, dxdt;
    engine::Flows flows;
};

}  // namespace oxfade::sample
