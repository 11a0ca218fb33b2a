#pragma once

#include <cstddef>
#include <optional>

#include "oxfade/plant/plant.hpp"

/// How far the laws of mixing go that a run uses (model.md eq. 9 to 11).
namespace oxfade::outcome {

/// Ra of air in a level pipe, for an excess of oxygen of one over its length.
/// @param length, bore [m]  @param pressure [Pa abs]  @param temperature [K]
double rayleigh_number(double length, double bore, double pressure, double temperature);

/// Excess of oxygen over the length of a level pipe up to which eq. 10 holds: the counter-flow at its fastest
/// then takes just as long from end to end as diffusion takes across the pipe. Arguments as above.
double excess_in_range(double length, double bore, double pressure, double temperature);

/// Most cells for a level pipe of a dead end. The ceiling on buoyant exchange (eq. 11) looks at neighbouring
/// cells only: in cells shorter than ten bores it may bind for no other reason than that, and a run is too
/// slow. None where the pipe has no more cells than that, or the ceiling is out of reach. Needs a valid
/// plant.
std::optional<int> most_cells(const plant::Plant& plant, const plant::Riser& riser, std::size_t pipe);

}  // namespace oxfade::outcome
