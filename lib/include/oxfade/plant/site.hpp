#pragma once

#include "oxfade/gas/constants.hpp"
#include "oxfade/plant/temperature.hpp"

namespace oxfade::plant {

/// The conditions at which a standard volume is counted (model.md eq. 14).
struct Reference {
    double pressure = gas::standard_pressure;        ///< [Pa], > 0
    double temperature = gas::standard_temperature;  ///< [K], > 0
};

/// The surroundings of all piping.
struct Site {
    double pressure = gas::standard_pressure;  ///< air pressure [Pa], > 0
    Temperature temperature;                   ///< of air, pipes and receiver, 200 to 400 K
    Reference reference;
};

/// Moles in a standard volume [m3] counted at the reference conditions.
constexpr double standard_moles(const Reference& reference, double standard_volume) {
    return reference.pressure * standard_volume / (gas::gas_constant * reference.temperature);
}
/// Standard volume [m3] of an amount [mol] at the reference conditions.
constexpr double standard_volume(const Reference& reference, double moles) {
    return moles * gas::gas_constant * reference.temperature / reference.pressure;
}

}  // namespace oxfade::plant
