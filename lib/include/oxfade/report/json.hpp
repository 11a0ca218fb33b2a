#pragma once

#include <string>
#include <vector>

#include "oxfade/outcome/outcome.hpp"
#include "oxfade/plant/plant.hpp"
#include "oxfade/report/units.hpp"

namespace oxfade::report {

/// Results as a JSON document in SI units, indented by two, ending with a line feed. Numbers are the shortest
/// that read back to the same value; what is unknown, not reached or not finite is null. `units` decides what
/// a standard volume is, and in which units the messages' texts speak; `assumed` is what the file left out.
std::string to_json(const outcome::Outcome& outcome, const Units& units,
                    const std::vector<plant::Assumed>& assumed = {});

}  // namespace oxfade::report
