#pragma once

#include "check.hpp"
#include "oxfade/flow/corrosion.hpp"
#include "units.hpp"

namespace oxfade::validation {

/// Depth lost in a year by current or by mass, in metres.
inline double depth_from_current(const Row& row) {
    return flow::seconds_per_year * flow::penetration_rate_from_current(row.number("current_density_a_m2"),
                                                                        row.number("equivalent_mass_kg_mol"),
                                                                        row.number("density_kg_m3"));
}
inline double depth_from_mass(const Row& row) {
    return flow::seconds_per_year *
           flow::penetration_rate_from_mass(row.number("mass_flux_kg_m2_s"), row.number("density_kg_m3"));
}

/// The penetration laws by name, in millimetres or mils a year.
inline std::map<std::string, Law> penetration_laws() {
    return {
        {"flow::penetration_rate_from_current", [](const Row& row) { return 1e3 * depth_from_current(row); }},
        {"flow::penetration_rate_from_current mils",
         [](const Row& row) { return depth_from_current(row) / mil; }},
        {"flow::penetration_rate_from_mass", [](const Row& row) { return 1e3 * depth_from_mass(row); }},
        {"flow::penetration_rate_from_mass mils", [](const Row& row) { return depth_from_mass(row) / mil; }}};
}

}  // namespace oxfade::validation
