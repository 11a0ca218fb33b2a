#pragma once

#include "json_support.hpp"
#include "oxfade/report/units.hpp"
#include "oxfade/study/checkup.hpp"
#include "page.hpp"

/// What a checkup adds to the survey of a plant.
namespace oxfade::report::detail {

/// What a riser's volume asks for, beside it.
void write_size_step(Page& page, double volume, study::SizeStep step, const Units& units);
/// Dead ends with their length and what mixing will do there; nothing when there are none.
void write_dead_ends(Page& page, const study::Checkup& checkup, const Units& units);

Json size_step_json(study::SizeStep step);
Json dead_ends_json(const study::Checkup& checkup);

}  // namespace oxfade::report::detail
