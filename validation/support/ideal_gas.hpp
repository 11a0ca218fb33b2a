#pragma once

#include "check.hpp"
#include "oxfade/gas/mixture.hpp"

namespace oxfade::validation {

/// Moles the library finds in a cubic metre at the row's pressure and temperature.
inline double moles_in_cubic_metre(const Row& row) {
    return gas::moles(row.number("pressure_pa"), 1.0, row.number("temperature_k"));
}

}  // namespace oxfade::validation
