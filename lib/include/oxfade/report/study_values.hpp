#pragma once

#include <optional>
#include <string>

#include "oxfade/report/units.hpp"
#include "oxfade/scenario/quantity.hpp"
#include "oxfade/study/parameter.hpp"

namespace oxfade::report {

/// The SI value of a scenario key in the reader's units: pressures as gauge, without a dimension a plain
/// number.
std::string format_quantity(double si, std::optional<scenario::Dimension> dimension, const Units& units);

/// A value of a plant as a reader would write it; "not given" where the file leaves it out.
std::string format_field(const study::Field& field, const Units& units);

}  // namespace oxfade::report
