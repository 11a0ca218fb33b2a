#pragma once

#include <string>

#include "oxfade/report/units.hpp"
#include "oxfade/study/fit.hpp"

namespace oxfade::report {

/// What readings say, for a terminal of 80 columns: the explanations with their odds in plain words, the
/// plant's data as found, what cannot be told apart, and the forecast.
std::string fit_text(const plant::Plant& plant, const study::Fit& fit, const Units& units);

/// The same as a JSON document in SI units.
std::string fit_json(const plant::Plant& plant, const study::Fit& fit);

}  // namespace oxfade::report
