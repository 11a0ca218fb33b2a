#pragma once

#include "oxfade/plant/plant.hpp"

namespace oxfade::engine {

/// About how long a run of a plant takes to compute [s], one pressure a riser: within a factor of a few of
/// what an ordinary machine needs. From counts alone, nothing is run: steps for the purge and for each day,
/// more for each opening of a timed vent, and a time for each step and compartment as measured
/// (lib/limits.md).
double estimated_time(const plant::Plant& plant);

}  // namespace oxfade::engine
