#pragma once

#include <string>
#include <vector>

#include "oxfade/outcome/message.hpp"
#include "oxfade/plant/plant.hpp"
#include "oxfade/report/units.hpp"

namespace oxfade::report {

/// What can be said of a plant without running it, for a terminal of 80 columns: volumes of risers and pipes,
/// how each is set up, and findings.
std::string survey_text(const plant::Plant& plant, const std::vector<outcome::Message>& findings,
                        const Units& units);

/// The same as a JSON document in SI units, as to_json writes them.
std::string survey_json(const plant::Plant& plant, const std::vector<outcome::Message>& findings,
                        const Units& units);

}  // namespace oxfade::report
