#pragma once

#include <string>
#include <string_view>

#include "oxfade/outcome/outcome.hpp"

namespace oxfade::report {

/// The time series in long form, one line for each moment and compartment, with the header
/// `time_s,riser,pipe,cell,pressure_pa,oxygen,nitrogen`. Cells count from 1; fractions are mole fractions of
/// the dry gas, the rest to one is argon. The gas in the piping is a blend of air and the source's product,
/// so nitrogen follows from oxygen and the product's purity. What is not finite is an empty field.
std::string to_csv(const outcome::Outcome& outcome);

/// Mole fraction of nitrogen in a blend of dry air and product of a purity, from its oxygen.
double nitrogen_in_blend(double oxygen, double product_purity);

/// A field as RFC 4180 wants it: in double quotes where it holds a comma, a quote or a line break.
std::string csv_field(std::string_view text);

}  // namespace oxfade::report
