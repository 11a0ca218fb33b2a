#pragma once

#include "check.hpp"
#include "oxfade/gas/transport.hpp"

namespace oxfade::validation {

/// Diffusivity of the pair N2-O2 [cm2/s] at the row's temperature and pressure.
inline double diffusivity_cm2_s(const Row& row) {
    return 1e4 * gas::diffusivity_times_pressure(row.number("temperature_k")) / row.number("pressure_pa");
}

}  // namespace oxfade::validation
