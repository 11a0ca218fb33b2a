#pragma once

#include <string>

#include "oxfade/outcome/outcome.hpp"
#include "oxfade/plant/plant.hpp"
#include "oxfade/report/units.hpp"
#include "report/page.hpp"

namespace oxfade::report::detail {

/// "'end vent' of North shut": what is done.
std::string action_text(const plant::Plant& plant, const plant::Action& action, const Units& units);

/// What happened on each date, and what came of it until the next.
void write_stretches(Page& page, const plant::Plant& plant, const outcome::Outcome& outcome,
                     const Units& units);

}  // namespace oxfade::report::detail
