#include "oxfade/flow/water_exchange.hpp"

#include <algorithm>
#include <cmath>

#include "oxfade/gas/constants.hpp"
#include "oxfade/gas/dissolved.hpp"
#include "oxfade/gas/water.hpp"

namespace oxfade::flow {
namespace {

double film_coefficient(double diffusivity_times_pressure, double bore, double pressure) {
    constexpr double sherwood = 3.66;
    return sherwood * diffusivity_times_pressure / (std::max(pressure, 1.0) * bore);
}

}  // namespace

double vapour_diffusivity_times_pressure(double temperature) {
    return 1.87e-10 * std::pow(temperature, 2.072) * gas::standard_pressure;
}

double vapour_film_coefficient(double bore, double pressure, double temperature) {
    return film_coefficient(vapour_diffusivity_times_pressure(temperature), bore, pressure);
}

double saturated_vapour(double temperature) {
    return gas::saturation_pressure(temperature) / (gas::gas_constant * temperature);
}

double dew_or_frost_point(double vapour_pressure) {
    constexpr double least = 1e-9, most = 22.0e6;
    const double pressure = std::clamp(vapour_pressure, least, most);
    if (pressure > gas::water_triple_pressure) return gas::dew_point(pressure);
    return gas::frost_point(std::min(pressure, gas::water_triple_pressure));
}

double kept_water_density(double temperature) {
    return gas::water_density(std::clamp(temperature, freezing_point, 373.15));
}

double water_moles_per_volume(double temperature) {
    return kept_water_density(temperature) / gas::water_molar_mass;
}

WaterProperties::WaterProperties(double temperature)
    : density(kept_water_density(temperature)),
      saturated(saturated_vapour(temperature)),
      diffusivity(vapour_diffusivity_times_pressure(temperature)) {
    constexpr double warmest = 323.15;
    if (temperature <= freezing_point) return;
    const double thawed = std::min((temperature - freezing_point) / thawing_range, 1.0);
    coefficient = still_water_coefficient * thawed * thawed * (3.0 - 2.0 * thawed);
    const double kept = std::min(temperature, warmest);
    henry = {gas::henry_constant(gas::Species::oxygen, kept),
             gas::henry_constant(gas::Species::nitrogen, kept)};
}

Evaporation evaporation(const WaterProperties& properties, const VapourBalance& place, double vapour,
                        double water, double least) {
    Evaporation out;
    if (!(place.surface > 0.0)) return out;
    const double h = film_coefficient(properties.diffusivity, place.bore, place.pressure) * place.surface;
    const double lack = properties.saturated - vapour / place.gas_volume;
    const double left = std::max(water, 0.0);
    const double share = lack > 0.0 ? left / (left + least) : 1.0;
    out.flow = h * lack * share;
    out.by_vapour = -h * share / place.gas_volume;
    if (lack > 0.0) out.by_water = h * lack * least / ((left + least) * (left + least));
    return out;
}

}  // namespace oxfade::flow
