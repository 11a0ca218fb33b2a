#include "engine/resolution.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>

#include "engine/assembly.hpp"
#include "engine/mesh.hpp"
#include "engine/side_by_side.hpp"
#include "oxfade/gas/mixture.hpp"
#include "oxfade/plant/leak_area.hpp"
#include "plant/pipe_tree.hpp"

namespace oxfade::engine {
namespace {

using What = outcome::Variation::What;

/// Cells are enough when half of them move no time to target by more than this part, and no oxygen at the end
/// that is above the target by more than this part of air's. Where cells are small, the scheme is of second
/// order, so that what is left is a third of that.
constexpr double most_change = 0.03, most_change_of_oxygen = 0.09;
/// What half the cells change, so many times, is stated as the error: cells may be too large for their order.
constexpr double caution = 2.0;
constexpr double most_refinement = 4.0;
constexpr double most_varied =
    8000.0 * 86400.0;             ///< cells times simulated time [s]: beyond, nothing is varied
constexpr int most_cells = 2000;  ///< beyond, twice as many are not tried

bool has_resolved_pipes(const plant::Plant& plant) {
    return std::any_of(plant.risers.begin(), plant.risers.end(), [](const plant::Riser& riser) {
        return std::any_of(riser.pipes.begin(), riser.pipes.end(),
                           [](const plant::Pipe& pipe) { return pipe.geometry() && !pipe.cells; });
    });
}

int cells_at(const plant::Plant& plant, double refinement) {
    Options options;
    options.refinement = refinement;
    return cell_count(plant, options);
}

/// How two runs differ, over what may be.
double change_between(const plant::Plant& plant, const Trial& a, const Trial& b) {
    double worst = 0.0;
    for (std::size_t r = 0; r < a.risers.size(); ++r) {
        const RiserHeadline &one = a.risers[r], &other = b.risers[r];
        const bool both = !std::isnan(one.time_to_target) && !std::isnan(other.time_to_target);
        if (both) {
            worst = std::max(worst, std::abs(one.time_to_target / other.time_to_target - 1.0) / most_change);
        } else if (std::max(one.worst_oxygen, other.worst_oxygen) > 1.0 - plant.target) {
            const double air = gas::dry_air()[gas::Species::oxygen];
            worst = std::max(worst,
                             std::abs(one.worst_oxygen - other.worst_oxygen) / (air * most_change_of_oxygen));
        }
    }
    return worst;
}

/// The plant with all leaks that are at no one place moved to where gas enters, or to the ends of all lines.
plant::Plant with_leaks_at(plant::Plant plant, bool at_entry) {
    for (plant::Riser& riser : plant.risers) {
        const std::vector<int> copies = riser.copies();
        std::vector<bool> ends(riser.pipes.size(), true);
        const plant::PipeTree tree(riser);
        for (std::size_t p = 0; p < riser.pipes.size(); ++p) {
            if (const auto parent = tree.parent(p)) ends[*parent] = false;
        }
        double lines = 0.0;
        for (std::size_t p = 0; p < ends.size(); ++p) lines += ends[p] ? copies[p] : 0;
        std::vector<plant::Leak> moved;
        const double volume = riser.volume();
        for (const plant::Leak& leak : riser.leaks) {
            if (leak.at) {
                moved.push_back(leak);
                continue;
            }
            const double area = plant::leak_area(leak, volume, plant.site);
            const auto hole = [](double of) {
                return plant::Orifice{std::sqrt(4.0 * of / std::numbers::pi), 1.0};
            };
            if (at_entry) {
                moved.push_back({riser.pipes[0].name, hole(area)});
                continue;
            }
            for (std::size_t p = 0; p < ends.size(); ++p) {
                if (ends[p]) moved.push_back({riser.pipes[p].name, hole(area / lines)});
            }
        }
        riser.leaks = std::move(moved);
    }
    return plant;
}

bool leaks_are_spread(const plant::Plant& plant) {
    return std::any_of(plant.risers.begin(), plant.risers.end(), [](const plant::Riser& riser) {
        return riser.pipes.size() > 1 && std::any_of(riser.leaks.begin(), riser.leaks.end(),
                                                     [](const plant::Leak& leak) { return !leak.at; });
    });
}

bool has_dead_ends(const plant::Plant& plant, const Options& options) {
    return std::any_of(plant.risers.begin(), plant.risers.end(), [&](const plant::Riser& riser) {
        const std::vector<PipeMesh> meshes = mesh_of(plant, riser, std::max(options.refinement, 0.5));
        return std::any_of(meshes.begin(), meshes.end(), [](const PipeMesh& pipe) { return pipe.run > 0.0; });
    });
}

/// The plant with what nobody knows exactly otherwise.
void list_variations(const plant::Plant& plant, const Options& options,
                     const std::function<void(What, double, plant::Plant)>& add) {
    if (leaks_are_spread(plant)) {
        add(What::leaks_at_entry, 0.0, with_leaks_at(plant, true));
        add(What::leaks_at_far_ends, 0.0, with_leaks_at(plant, false));
    }
    if (!has_dead_ends(plant, options)) return;
    plant::Plant varied = plant;
    for (const double factor : {0.5, 2.0}) {
        varied.mixing.mouth = factor * plant.mixing.mouth;
        if (varied.mixing.mouth != plant.mixing.mouth) add(What::mouth, varied.mixing.mouth, varied);
    }
    varied.mixing.mouth = plant.mixing.mouth;
    if (!plant.mixing.buoyant) return;
    for (const double change : {-1.0, 1.0}) {
        varied.mixing.warm_end = plant.mixing.warm_end + change;
        add(What::warm_end, varied.mixing.warm_end, varied);
    }
}

}  // namespace

Trial trial_at(const plant::Plant& plant, Options options, double refinement) {
    options.history_points = 0;
    options.refinement = refinement;
    const Network net = build_network(plant, pressures_of(options), refinement);
    Simulation simulation(plant, net, options);
    simulation.run();
    return headline(plant, net, simulation);
}

Refinement first_refinement(const plant::Plant& plant, const Options& options) {
    Refinement first;
    if (options.refinement > 0.0) first.value = options.refinement;
    first.compared = options.refinement <= 0.0 && has_resolved_pipes(plant);
    return first;
}

void compare_with_half(const plant::Plant& plant, const Options& options, Refinement& refinement) {
    refinement.half = trial_at(plant, options, 0.5 * refinement.value);
    refinement.half_cells = cells_at(plant, 0.5 * refinement.value);
}

bool refine(const plant::Plant& plant, const Trial& run, int cells, Refinement& refinement) {
    if (!refinement.compared || refinement.value >= most_refinement || 2 * cells > most_cells) return false;
    if (change_between(plant, run, refinement.half) <= 1.0) return false;
    refinement.half = run;
    refinement.half_cells = cells;
    refinement.value *= 2.0;
    return true;
}

void add_space_error(const Refinement& refinement, outcome::Outcome& out) {
    if (!refinement.compared) return;
    out.resolution.compared_with = refinement.half_cells;
    for (std::size_t r = 0; r < out.risers.size(); ++r) {
        outcome::RiserOutcome& riser = out.risers[r];
        const RiserHeadline& half = refinement.half.risers[r];
        double worst = 0.0;
        for (const outcome::PipeOutcome& pipe : riser.pipes) {
            for (const double oxygen : pipe.oxygen) worst = std::max(worst, oxygen);
        }
        riser.space_error_of_oxygen = caution * std::abs(worst - half.worst_oxygen);
        if (riser.time_to_target && !std::isnan(half.time_to_target))
            riser.space_error_of_time = caution * std::abs(*riser.time_to_target - half.time_to_target);
    }
}

void add_variations(const plant::Plant& plant, const Options& options, const Refinement& refinement,
                    outcome::Outcome& out) {
    if (out.resolution.cells * plant.duration > most_varied) return;
    const double half = 0.5 * refinement.value;
    Trial usual = refinement.half;
    struct Varied {
        What what;
        double value;
        plant::Plant plant;
        Trial run;
    };
    std::vector<Varied> list;
    const auto add = [&](What what, double value, plant::Plant varied) {
        list.push_back({what, value, std::move(varied), {}});
    };
    list_variations(plant, options, add);
    if (list.empty()) return;
    std::vector<Task> tasks;
    if (!refinement.compared)
        tasks.emplace_back([&](const Options& own) { usual = trial_at(plant, own, half); });
    for (Varied& one : list)
        tasks.emplace_back([&](const Options& own) { one.run = trial_at(one.plant, own, half); });
    side_by_side(options, tasks);
    for (const auto& [what, value, varied, run] : list) {
        outcome::Variation variation{what, value, {}};
        for (std::size_t r = 0; r < run.risers.size(); ++r) {
            const double scale = std::isnan(usual.risers[r].time_to_target) || !out.risers[r].time_to_target
                                     ? 1.0
                                     : *out.risers[r].time_to_target / usual.risers[r].time_to_target;
            const double time = run.risers[r].time_to_target * scale;
            variation.time_to_target.push_back(time <= plant.duration ? std::optional(time) : std::nullopt);
        }
        out.variations.push_back(std::move(variation));
    }
}

}  // namespace oxfade::engine
