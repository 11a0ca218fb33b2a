#include "oxfade/engine/predict.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <memory>

#include "engine/assembly.hpp"
#include "engine/mesh.hpp"
#include "engine/resolution.hpp"
#include "engine/side_by_side.hpp"
#include "oxfade/outcome/findings.hpp"

namespace oxfade::engine {

namespace {

bool water_is_a_reason(const outcome::Outcome& out) {
    return std::any_of(out.risers.begin(), out.risers.end(), [](const outcome::RiserOutcome& riser) {
        return riser.not_met_because == outcome::Code::water_blocks ||
               riser.not_met_because == outcome::Code::liquid_stop_shut;
    });
}

/// Runs the plant without its low points, to say what draining them would give.
void compare_without_water(const plant::Plant& plant, const Options& options, outcome::Outcome& out) {
    plant::Plant dry_plant = plant;
    for (plant::Riser& riser : dry_plant.risers) riser.low_points.clear();
    const Trial dry = trial_at(dry_plant, options, options.refinement);
    for (std::size_t r = 0; r < out.risers.size(); ++r) {
        const RiserHeadline& riser = dry.risers[r];
        if (!std::isnan(riser.time_to_target)) out.risers[r].time_without_water = riser.time_to_target;
        out.risers[r].worst_without_water = riser.worst_oxygen;
    }
    out.messages = outcome::findings_after(plant, out);
}

}  // namespace

int cell_count(const plant::Plant& plant, const Options& options) {
    int cells = 0;
    const double refinement = options.refinement > 0.0 ? options.refinement : 1.0;
    for (const plant::Riser& riser : plant.risers) {
        for (const PipeMesh& pipe : mesh_of(plant, riser, refinement))
            cells += static_cast<int>(pipe.parts.size());
    }
    return cells;
}

outcome::Outcome predict(const plant::Plant& plant, const Options& options) {
    const auto begin = std::chrono::steady_clock::now();
    plant::require_valid(plant);
    require_valid(options);
    Refinement refinement = first_refinement(plant, options);
    Options chosen = options;
    std::unique_ptr<Network> net;
    std::unique_ptr<Simulation> simulation;
    do {
        chosen.refinement = refinement.value;
        std::vector<Task> tasks{[&](const Options& own) {
            simulation.reset();
            net = std::make_unique<Network>(build_network(plant, pressures_of(own), own.refinement));
            simulation = std::make_unique<Simulation>(plant, *net, own);
            simulation->run();
        }};
        if (refinement.compared && refinement.half.risers.empty())
            tasks.emplace_back([&](const Options& own) { compare_with_half(plant, own, refinement); });
        side_by_side(chosen, tasks);
    } while (refine(plant, headline(plant, *net, *simulation), net->nodes(), refinement));
    outcome::Outcome out = assemble(plant, *net, *simulation);
    add_space_error(refinement, out);
    if (options.vary) add_variations(plant, chosen, refinement, out);
    if (water_is_a_reason(out)) compare_without_water(plant, chosen, out);
    out.effort = simulation->effort();
    out.effort.wall_time = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
    return out;
}

}  // namespace oxfade::engine
