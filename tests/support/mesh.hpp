#pragma once

#include "support/plants.hpp"

namespace oxfade::sample {

/// A plant with everything a state can have: two risers, branches, two meshes, vents, leaks and mixing.
inline plant::Plant meshed_plant(double purity, plant::Source source) {
    plant::Riser loops = full_riser(
        {tube("feed", 0.1, 10.0, 2), on(tube("a", 0.05, 12.0, 2), "feed"),
         on(tube("b", 0.03, 9.0, 2), "feed"), on(tube("c", 0.04, 6.0, 3), "feed"), vessel("tail", 0.05)},
        "loops");
    loops.links = {{"a", "b"}, {"b", "c"}};
    loops.vents = {vent("a", 1.5e-3), vent("tail", 1e-3)};
    loops.leaks = {hole("b", 0.5e-3), hole("feed", 0.4e-3)};
    plant::Riser plain = full_riser({vessel("main", 0.2), vessel("far", 0.1)}, "plain");
    plain.pipes[1].exchange = 1e-3;
    plain.vents = {vent("far", 0.8e-3)};
    plain.leaks.push_back({std::nullopt, plant::Orifice{0.3e-3, 0.8}});
    plant::Plant plant = plant_of(std::move(loops), std::move(source), 20000.0);
    plant.risers.push_back(std::move(plain));
    plant.mixing = {true, false, false};
    plant.target = purity - 0.01;
    return plant;
}

}  // namespace oxfade::sample
