#include "oxfade/gas/atmosphere.hpp"

#include <cmath>
#include <stdexcept>

namespace oxfade::gas {

double air_pressure_at_altitude(double altitude) {
    if (!(altitude >= -5000.0 && altitude <= 11000.0)) {
        throw std::domain_error("altitude must lie between -5000 m and 11 000 m");
    }
    // Defining constants of the 1976 standard, which keeps its own gas constant and mean molar mass.
    constexpr double earth_radius = 6356766.0, sea_level_temperature = 288.15, lapse = 0.0065;
    constexpr double sea_level_pressure = 101325.0, g0 = 9.80665, molar_mass = 0.0289644, r_star = 8.31432;
    const double geopotential = earth_radius * altitude / (earth_radius + altitude);
    const double temperature_ratio = 1.0 - lapse * geopotential / sea_level_temperature;
    return sea_level_pressure * std::pow(temperature_ratio, g0 * molar_mass / (r_star * lapse));
}

}  // namespace oxfade::gas
