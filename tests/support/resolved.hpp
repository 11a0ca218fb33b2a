#pragma once

#include <cmath>
#include <numbers>

#include "engine/simulation.hpp"
#include "oxfade/engine/predict.hpp"
#include "support/plants.hpp"
#include "support/run.hpp"

/// Runs with a pressure in every compartment.
namespace oxfade::sample {

inline engine::Options resolved(engine::Options options = {}) {
    options.resolve_friction = true;
    return options;
}

/// A finished run opened up: pressures and flows at its end.
struct Resolved {
    explicit Resolved(const plant::Plant& plant, const engine::Options& options = resolved())
        : net(engine::build_network(plant, engine::Pressures::resolved)), simulation(plant, net, options) {
        simulation.run();
        const engine::Dynamics& dynamics = simulation.dynamics();
        flows = dynamics.make_flows();
        engine::State rates = engine::State::Zero(dynamics.layout().size());
        dynamics.rates(0.0, simulation.state(), rates, flows);
    }
    std::size_t node(std::size_t pipe, std::size_t cell = 0) const {
        return static_cast<std::size_t>(net.node_of[0][pipe][cell]);
    }
    double pressure(std::size_t pipe, std::size_t cell = 0) const {
        const std::size_t i = node(pipe, cell);
        return simulation.state()[simulation.dynamics().layout().gas(static_cast<int>(i))] *
               net.node_pressure_per_mole[i];
    }
    /// Flow into a cell from the one before it [mol/s].
    double flow_into(std::size_t pipe, std::size_t cell = 0) const { return flows.link[node(pipe, cell)]; }

    engine::Network net;
    engine::Simulation simulation;
    engine::Flows flows;
};

/// The plant with every pipe that is given by its volume made a tube of this bore [m].
inline plant::Plant with_geometry(plant::Plant plant, double bore) {
    for (plant::Riser& riser : plant.risers) {
        for (plant::Pipe& pipe : riser.pipes) {
            if (pipe.geometry()) continue;
            const double area = std::numbers::pi / 4.0 * bore * bore;
            pipe.shape = plant::Cylinder{bore, pipe.volume() / area};
        }
    }
    return plant;
}

}  // namespace oxfade::sample
