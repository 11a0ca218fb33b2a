#pragma once

#include "oxfade/outcome/outcome.hpp"
#include "page.hpp"

namespace oxfade::report::detail {

/// Corrosion exposure, its assumptions beside it.
void write_exposure(Page& page, const outcome::Outcome& outcome);

}  // namespace oxfade::report::detail
