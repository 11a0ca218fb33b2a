#pragma once

#include <string>

#include "oxfade/report/units.hpp"
#include "oxfade/study/size.hpp"

namespace oxfade::report {

/// The sizes found for a terminal of 80 columns: source, vents, what binds, and the trade-off curve.
std::string size_text(const plant::Plant& plant, const study::SizeResult& result, double margin,
                      const Units& units);

/// The same as a JSON document in SI units.
std::string size_json(const plant::Plant& plant, const study::SizeResult& result, double margin);

/// The trade-off curve, one line a deadline. A deadline that nothing meets has empty fields.
std::string size_csv(const plant::Plant& plant, const study::SizeResult& result);

}  // namespace oxfade::report
