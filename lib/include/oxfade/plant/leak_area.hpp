#pragma once

#include "oxfade/plant/riser.hpp"
#include "oxfade/plant/site.hpp"

namespace oxfade::plant {

/// Effective area [m2] of a leak, whichever way it is given (model.md 5.2): by a hole, by what a pressure
/// test of the whole riser's volume [m3] with air loses, or by the standard flow of air it passes at a
/// pressure.
double leak_area(const Leak& leak, double riser_volume, const Site& site);
/// The same of all there are of it: one on every copy of the pipe it is at.
double leak_area(const Leak& leak, const Riser& riser, const Site& site);
/// Effective area [m2] of all leaks of a riser.
double leak_area(const Riser& riser, const Site& site);

/// Part of a leak that is spread over a riser which each of its pipes has, copies included; the sum is 1.
/// Pipes known by their volume alone have no length or joints: where there is one, leaks are spread by
/// volume.
std::vector<double> leak_weights(const Riser& riser, LeakSpread spread);

}  // namespace oxfade::plant
