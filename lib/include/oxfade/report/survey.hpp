#pragma once

#include <string>
#include <vector>

#include "oxfade/outcome/duty.hpp"
#include "oxfade/outcome/message.hpp"
#include "oxfade/plant/plant.hpp"
#include "oxfade/report/units.hpp"
#include "oxfade/study/checkup.hpp"

namespace oxfade::report {

/// What can be said of a plant without running it.
struct Survey {
    outcome::PlantDuty duty;
    std::vector<outcome::Message> findings;
    study::Checkup checkup = {};  ///< left empty, its lines are left out
};

/// A survey for a terminal of 80 columns: volumes of risers and pipes, how each is set up, about how long it
/// fills, what it demands, dead ends, and findings. `survey` is of the same plant.
std::string survey_text(const plant::Plant& plant, const Survey& survey, const Units& units);

/// The same as a JSON document in SI units, as to_json writes them.
std::string survey_json(const plant::Plant& plant, const Survey& survey, const Units& units);

}  // namespace oxfade::report
