#pragma once

#include "engine/network.hpp"

/// Low points: where water lies in the network, and the zones it parts.
namespace oxfade::engine {

bool has_water(const plant::Plant& plant);

/// Throws InputError when friction is to be resolved in a plant with low points.
void require_no_friction(const plant::Plant& plant, Pressures pressures);
/// Throws InputError for water on a link that gas can go round.
void require_water_off_loops(const Network& net);

/// Adds a riser's low points and zones once its nodes are in place, and takes the water out of their volumes.
/// Every low point begins a zone, whether its water closes the bore or not. Returns the volume left for gas
/// [m3].
double add_water(Network& net, const plant::Riser& riser, int riser_index, const RiserNet& out);

/// R T / V of the zone where gas enters a riser [Pa/mol].
double zone_pressure_per_mole(const Network& net, const RiserNet& riser);

}  // namespace oxfade::engine
