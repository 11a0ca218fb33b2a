#pragma once

#include "check.hpp"
#include "oxfade/flow/pipe_friction.hpp"

namespace oxfade::validation {

/// Inlet pressure [Pa] at which the row's mass flow leaves the pipe at its downstream pressure.
inline double inlet_pressure(const Row& row, flow::Acceleration acceleration) {
    const double molar_mass = row.number("molar_mass_kg_mol"), end = row.number("downstream_pa");
    const auto excess = [&](double inlet) {
        return molar_mass * flow::isothermal_pipe_flow(row.number("resistance"), row.number("bore_m"), inlet,
                                                       end, row.number("temperature_k"), molar_mass,
                                                       acceleration) -
               row.number("mass_flow_kg_s");
    };
    return root(excess, end, 100.0 * end);
}

}  // namespace oxfade::validation
