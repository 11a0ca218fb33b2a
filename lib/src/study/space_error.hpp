#pragma once

#include <optional>

#include "oxfade/outcome/outcome.hpp"
#include "oxfade/plant/plant.hpp"

namespace oxfade::study {

/// How far the cutting of pipes into cells may still move a plant's time to target [s]: that of the riser
/// that is last. None where nobody knows.
std::optional<double> space_error_of(const outcome::Outcome& outcome);

/// The same from a run of its own, for studies whose runs do not look for it; not run where every pipe has
/// its cells from the user, or no length.
std::optional<double> space_error_of(const plant::Plant& plant, double relative_tolerance);

}  // namespace oxfade::study
