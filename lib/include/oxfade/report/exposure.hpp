#pragma once

#include <string>
#include <vector>

#include "oxfade/outcome/outcome.hpp"

namespace oxfade::report {

/// What must be said beside a number of corrosion exposure (model.md section 11): first that it is no
/// prediction of life, then what is assumed; of water only where some lay.
std::vector<std::string> exposure_assumptions(const outcome::Outcome& outcome);

}  // namespace oxfade::report
