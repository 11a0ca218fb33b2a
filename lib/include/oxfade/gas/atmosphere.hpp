#pragma once

namespace oxfade::gas {

/// Air pressure [Pa] at a geometric altitude [m], U.S. Standard Atmosphere 1976, lowest layer (eq. 33a with
/// eq. 18 for the geopotential height). Range -5000 m to 11 000 m; throws std::domain_error outside it.
double air_pressure_at_altitude(double altitude);

}  // namespace oxfade::gas
