#pragma once

#include <string>

#include "oxfade/report/units.hpp"
#include "oxfade/study/sweep.hpp"

namespace oxfade::report {

/// A sweep for a terminal of 80 columns: the times to target with their spread, how often target and limits
/// are met, and what matters most.
std::string sweep_text(const plant::Plant& plant, const study::SweepResult& result, const Units& units);

/// The same as a JSON document in SI units.
std::string sweep_json(const plant::Plant& plant, const study::SweepResult& result, const Units& units);

/// Every run on a line: the values it was given (in SI, one column a key) and what came of it. What was not
/// reached is an empty field.
std::string sweep_csv(const study::SweepOptions& options, const study::SweepResult& result,
                      const Units& units);

}  // namespace oxfade::report
