#pragma once

#include <vector>

#include "oxfade/plant/plant.hpp"

namespace oxfade::engine {

/// How one pipe is cut into cells.
struct PipeMesh {
    std::vector<double> parts;  ///< length of each cell over the pipe's, from its near end; their sum is 1
    bool resolved =
        false;          ///< cut by the engine and computed to second order; else cells as the user gave them
    bool side = false;  ///< leaves its parent at a tee: from the middle of that one's last cell
    double run = 0.0;   ///< from the mouth of its dead end to the farthest end of that [m]; 0: no dead end
    /// Cells at the near end that take up the gas which pressure pushes in and out (model.md 4.5): above 0 in
    /// the first pipe of a dead end whose other cells move with their gas.
    std::size_t breathing = 0;
    std::size_t stirred = 0;  ///< cells before those, of what the mouth stirs: 0 or 1
    bool moving = false;      ///< part of such a dead end
};

/// The cells of a riser's pipes (model.md 4.4). Pipes with `cells` have just those; a volume without geometry
/// is one. Dead ends get so many along their longest way, pipes that gas flows through so many along the
/// longest way to a vent, and where side pipes leave, a cell of two bores that they hang on.
/// @param refinement how many times the usual number of cells
std::vector<PipeMesh> mesh_of(const plant::Plant& plant, const plant::Riser& riser, double refinement);

/// The least amount of gas in a riser in service over the most, as its switches, vents and temperature have
/// it.
double breathing_range(const plant::Plant& plant, const plant::Riser& riser);

}  // namespace oxfade::engine
