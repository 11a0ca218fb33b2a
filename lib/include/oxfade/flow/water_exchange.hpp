#pragma once

#include <array>

/// What passes between water that lies in a pipe and the gas beside it (model.md section 9).
namespace oxfade::flow {

/// Liquid-film coefficient k of eq. 16 [m/s] that is assumed for still water: 1 cm/h, in the middle of the
/// 0.5 to 2 cm/h that oxygen passes into water without wind or current over it.
inline constexpr double still_water_coefficient = 0.01 / 3600.0;

/// Wall that condensed water wets in a pipe known by its volume alone: 40 m2 a m3, as in a bore of 100 mm.
inline constexpr double wall_per_volume = 40.0;

/// Diffusivity of water vapour in air or nitrogen times pressure [m2 Pa/s] at a temperature [K]:
/// `1.87e-10 T^2.072 m2 atm/s`, T from 282 K to 450 K [marrero_mason_1972]; used a little below it too.
double vapour_diffusivity_times_pressure(double temperature);

/// Gas-film coefficient [m/s] of vapour in a pipe of a bore [m]: `Sh D/d` with Sh = 3.66, the laminar limit
/// far from the inlet of a round pipe with one concentration on its wall.
double vapour_film_coefficient(double bore, double pressure, double temperature);

/// Concentration of vapour in balance with water, below 0 degC with ice [mol/m3].
double saturated_vapour(double temperature);

/// Temperature [K] at which vapour of a pressure [Pa] begins to condense, or below 0 degC to freeze; the
/// pressure is clamped to what the saturation equations hold for, down to 1e-9 Pa.
double dew_or_frost_point(double vapour_pressure);

/// Density of water, held at that of 0 degC below and of 100 degC above [kg/m3].
double kept_water_density(double temperature);

/// Amount of that water in a volume [mol/m3].
double water_moles_per_volume(double temperature);

/// Below this water is ice [K].
inline constexpr double freezing_point = 273.15;
/// Ice goes, and lets gas pass, over so much above it [K]: it takes its heat of melting. A convention.
inline constexpr double thawing_range = 0.5;

/// What exchange with water needs to know of a temperature [K].
struct WaterProperties {
    explicit WaterProperties(double temperature);
    double density = 0.0;      ///< of the water, as kept_water_density() [kg/m3]
    double saturated = 0.0;    ///< saturated_vapour() [mol/m3]
    double diffusivity = 0.0;  ///< vapour_diffusivity_times_pressure() [m2 Pa/s]
    double coefficient =
        0.0;  ///< k of eq. 16 [m/s]: nothing passes ice, all from thawing_range above 0 degC on
    std::array<double, 2> henry{};  ///< of oxygen and nitrogen [mol/(m3 Pa)]; above 50 degC those of 50 degC
};

/// A water surface in a volume of gas.
struct VapourBalance {
    double bore = 0.0;        ///< of the pipe [m]
    double surface = 0.0;     ///< of the water [m2]
    double gas_volume = 0.0;  ///< beside it [m3]
    double pressure = 0.0;    ///< [Pa]
};
/// Vapour that a surface gives to the gas; negative where it condenses [mol/s], with its slopes [1/s].
struct Evaporation {
    double flow = 0.0, by_vapour = 0.0, by_water = 0.0;
};
/// `h A (c_sat - c)` with the gas-film coefficient h. As the water runs out, evaporation fades with the share
/// `w/(w + least)`, so that no more goes than is there.
/// @param vapour in the gas [mol] @param water left [mol] @param least amount that halves it [mol], > 0
Evaporation evaporation(const WaterProperties& properties, const VapourBalance& place, double vapour,
                        double water, double least);

}  // namespace oxfade::flow
