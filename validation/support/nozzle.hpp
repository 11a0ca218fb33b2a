#pragma once

#include "check.hpp"
#include "oxfade/flow/orifice.hpp"
#include "units.hpp"

namespace oxfade::validation {

/// Mass flow [kg/s] through the row's hole, coefficient one.
inline double nozzle_mass_flow(const Row& row) {
    const double molar_mass = row.number("molar_mass_kg_mol");
    return molar_mass * flow::orifice_flow(row.number("area_m2"), row.number("upstream_pa"),
                                           row.number("downstream_pa"), row.number("temperature_k"),
                                           molar_mass);
}

}  // namespace oxfade::validation
