#pragma once

#include "engine/mesh.hpp"
#include "engine/network.hpp"

/// Links between compartments: what their geometry gives for mixing and for the flow round loops.
namespace oxfade::engine {

/// A pipe of a riser as it is cut.
struct PipeCut {
    const plant::Pipe* pipe = nullptr;
    const PipeMesh* mesh = nullptr;
    double pitch = 0.0;
    double copies = 1.0;

    /// Length of a cell [m]; 0 without geometry.
    double cell(std::size_t k) const;
};

/// From the centre of one cell to that of the next, further from where gas enters: along a pipe, or from the
/// last cell of one to the first of another.
struct LinkShape {
    struct Half {
        double length = 0.0;  ///< of the cell that lies on the way [m]
        double bore = 0.0;    ///< [m]; 0 without geometry
    };
    Half first, second;
    LinkMixing mixing;
    LinkFriction friction;
    double resistance = 0.0;  ///< L/d^4 in series, of all copies [1/m3]
    double step = 0.0;        ///< as in Network
    double reach = 0.0;
};
/// What of a pipe between two points [m from its mouth] lies beyond the depth to which its mouth is stirred;
/// a little of what is stirred resists, too.
double beyond(double depth, double from, double to);
/// The bore and pitch of a pipe, all copies, of a length of 0.
LinkMixing::Piece mixing_piece(const PipeCut& cut, double bore);
/// @param border of the cell and the one before it [share of the pipe]
LinkShape link_along(const PipeCut& pipe, std::size_t cell, double border, const plant::Mixing& kinds);
LinkShape link_between(const PipeCut& before, const PipeCut& pipe, const plant::Mixing& kinds);

/// Adds the riser's loop links, the tree links round each, and the inverse of the loop resistance matrix.
/// The riser's nodes must be in place.
void add_loops(const Network& net, const std::vector<PipeCut>& cuts, const plant::Riser& riser,
               int riser_index, RiserNet& out);

}  // namespace oxfade::engine
