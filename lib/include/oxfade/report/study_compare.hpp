#pragma once

#include <string>

#include "oxfade/report/units.hpp"
#include "oxfade/study/compare.hpp"

namespace oxfade::report {

/// Strategies side by side for a terminal of 80 columns, the best of each line marked with `*`.
std::string compare_text(const study::Comparison& comparison, const Units& units);

/// The same as a JSON document in SI units.
std::string compare_json(const study::Comparison& comparison, const Units& units);

}  // namespace oxfade::report
