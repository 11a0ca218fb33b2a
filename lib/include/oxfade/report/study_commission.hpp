#pragma once

#include <string>
#include <vector>

#include "oxfade/report/units.hpp"
#include "oxfade/study/commission.hpp"

namespace oxfade::report {

/// The sheet to print and fill in by hand, for 80 columns.
std::string sheet_text(const plant::Plant& plant, const std::vector<study::Step>& sheet, const Units& units);

/// The sheet to fill in and read back: one line a step, values with units, the last column left open.
std::string sheet_csv(const std::vector<study::Step>& sheet, const Units& units);

/// What was measured, held against what was expected, and the likely causes with their size.
std::string review_text(const plant::Plant& plant, const study::Review& review, const Units& units);

/// Sheet or review as a JSON document in SI units.
std::string review_json(const plant::Plant& plant, const study::Review& review, const Units& units);

}  // namespace oxfade::report
