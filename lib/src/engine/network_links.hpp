#pragma once

#include "engine/network.hpp"

/// Links between compartments: what their geometry gives for mixing and for the flow round loops.
namespace oxfade::engine {

/// Geometry between the centres of two neighbouring cells.
struct LinkShape {
    double conductance = 0.0;      ///< A/L with half-lengths in series [m]; 0 without geometry
    double length = 0.0;           ///< centre to centre [m]
    double bore = 0.0;             ///< the smaller of the two [m]
    double resistance = 0.0;       ///< L/d^4 in series [1/m3]
    bool level = true;             ///< both pipes nearly level: buoyant mixing applies
    double fixed_exchange = -1.0;  ///< [mol/s]; negative: none given
};

/// The link between a cell of `upstream` and a cell of `pipe`; a fixed exchange is the one given on `pipe`.
LinkShape link_shape(const plant::Pipe& upstream, const plant::Pipe& pipe);

/// @param temperature of the riser [K]
LinkMixing link_mixing(const Gases& gases, const plant::Mixing& kinds, double temperature,
                       const LinkShape& shape);

/// Adds the riser's loop links, the tree links round each, and the inverse of the loop resistance matrix.
/// The riser's nodes must be in place.
void add_loops(const Network& net, const plant::Mixing& kinds, const plant::Riser& riser, int riser_index,
               RiserNet& out);

}  // namespace oxfade::engine
