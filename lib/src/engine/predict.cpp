#include "oxfade/engine/predict.hpp"

#include <chrono>

#include "engine/assembly.hpp"

namespace oxfade::engine {

outcome::Outcome predict(const plant::Plant& plant, const Options& options) {
    const auto begin = std::chrono::steady_clock::now();
    plant::require_valid(plant);
    require_valid(options);
    const Network net = build_network(plant, pressures_of(options));
    Simulation simulation(net, options);
    simulation.run();
    outcome::Outcome out = assemble(plant, net, simulation);
    out.effort = simulation.effort();
    out.effort.wall_time = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
    return out;
}

}  // namespace oxfade::engine
