#pragma once

#include <cstddef>

#include "oxfade/outcome/outcome.hpp"
#include "oxfade/plant/riser.hpp"

/// Purge vents at the far ends of branch lines that have none.
namespace oxfade::study {

/// Branch lines without a vent, copies counted.
std::size_t line_count(const plant::Riser& riser, const outcome::RiserOutcome& run);

/// Gives so many of them a vent at their far end, those first that are last to meet the target. Of equal
/// lines (a count) some are split off under a name of their own; where something else hangs on such a line (a
/// leak, a low point, a sampling point), all of it get one.
void vent_lines(plant::Riser& riser, const outcome::RiserOutcome& run, std::size_t lines, double diameter);

}  // namespace oxfade::study
