#pragma once

#include "check.hpp"
#include "oxfade/gas/water.hpp"

namespace oxfade::validation {

/// The saturation laws by name; pressures in Pa or MPa, temperatures in K or degC as the row prints them.
inline std::map<std::string, Law> saturation_laws() {
    const auto pressure = [](double (*law)(double)) {
        return [law](const Row& row) {
            return law(row.number("temperature_k")) / (row.text("unit") == "MPa" ? 1e6 : 1.0);
        };
    };
    const auto temperature = [](double (*law)(double)) {
        return [law](const Row& row) {
            return law(row.number("pressure_pa")) - (row.text("unit") == "degC" ? 273.15 : 0.0);
        };
    };
    return {{"gas::saturation_pressure", pressure(gas::saturation_pressure)},
            {"gas::saturation_pressure_over_water", pressure(gas::saturation_pressure_over_water)},
            {"gas::saturation_pressure_over_ice", pressure(gas::saturation_pressure_over_ice)},
            {"gas::dew_point", temperature(gas::dew_point)},
            {"gas::frost_point", temperature(gas::frost_point)}};
}

}  // namespace oxfade::validation
