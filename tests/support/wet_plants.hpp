#pragma once

#include <set>
#include <string>
#include <utility>

#include "support/plants.hpp"
#include "support/random_plant.hpp"

/// Plants with water at low points.
namespace oxfade::sample {

inline plant::LowPoint trap(std::string on, double rise, double water = 2e-3) {
    return {"dip on " + on, std::move(on), water, plant::WaterRise{rise}};
}

inline plant::LowPoint dip(std::string on, double before, double behind, double water) {
    return {"dip on " + on, std::move(on), water, plant::LegSlopes{before, behind}};
}

/// Two vessels with a trap of unknown bore between them: a seal and nothing else, no vapour, nothing
/// dissolved.
inline plant::Riser sealed_riser(double rise, double far_volume = 0.5) {
    plant::Riser riser = full_riser({vessel("main", 2.0), vessel("far", far_volume)});
    riser.low_points = {trap("far", rise)};
    return riser;
}

namespace detail {

/// Pipes that some loop goes round.
inline std::set<std::size_t> on_loops(const plant::Riser& riser) {
    std::set<std::size_t> out;
    for (const plant::LoopLink& link : riser.links) {
        std::set<std::size_t> first;
        for (auto p = riser.pipe_index(link.first); p; p = riser.parent_index(*p)) first.insert(*p);
        for (auto p = riser.pipe_index(link.second); p; p = riser.parent_index(*p)) {
            if (first.erase(*p) == 0) out.insert(*p);
        }
        out.insert(first.begin(), first.end());
    }
    return out;
}

}  // namespace detail

/// Lays water on some links of a plant that gas cannot go round; at least on one, where there is any.
inline void add_random_water(plant::Plant& plant, Dice& dice) {
    for (plant::Riser& riser : plant.risers) {
        const auto loops = detail::on_loops(riser);
        for (plant::Vent& vent : riser.vents) {
            vent.liquid_stop = dice.chance(0.5);
            vent.chamber = dice.chance(0.2) ? 0.0 : dice.scale(1e-5, 1e-3);
        }
        for (std::size_t p = 1; p < riser.pipes.size(); ++p) {
            const plant::Pipe& pipe = riser.pipes[p];
            if (loops.count(p) > 0 || !dice.chance(0.6)) continue;
            const plant::Pipe& parent = riser.pipes[*riser.parent_index(p)];
            const double room =
                std::min(pipe.volume() / pipe.cells.value_or(1), parent.volume() / parent.cells.value_or(1));
            const double water = dice.scale(1e-3, 0.1) * room;
            plant::LowPoint low_point{"dip " + std::to_string(p), pipe.name, water,
                                      plant::WaterRise{dice.scale(0.01, 1.0)}};
            if (pipe.geometry() != nullptr && dice.chance(0.6)) {
                low_point.shape = plant::LegSlopes{dice.scale(0.002, 0.1), dice.scale(0.002, 0.1)};
            }
            riser.low_points.push_back(std::move(low_point));
        }
    }
}

}  // namespace oxfade::sample
