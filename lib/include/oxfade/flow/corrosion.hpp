#pragma once

/// What oxygen that reaches wet steel does (model.md section 11, eq. 17). An exposure measure, not a life
/// prediction.
namespace oxfade::flow {

inline constexpr double faraday_constant = 96485.33212;     ///< [C/mol], CODATA 2018
inline constexpr double iron_molar_mass = 55.845e-3;        ///< [kg/mol], conventional value
inline constexpr double iron_density = 7870.0;              ///< [kg/m3], ASTM G102
inline constexpr double electrons_per_oxygen = 4.0;         ///< O2 + 2 H2O + 4 e- -> 4 OH-
inline constexpr double seconds_per_year = 365.25 * 86400;  ///< Julian year [s]

/// Moles of iron lost per mole of oxygen when the rust is Fe2O3: `4 Fe + 3 O2 -> 2 Fe2O3`.
inline constexpr double iron_per_oxygen = 4.0 / 3.0;

/// Depth lost per time [m/s] by a current density [A/m2]: `i (EW/F) / rho`, Faraday's law as in ASTM G102
/// eq. 1.
/// @param equivalent_mass molar mass over electrons given off [kg/mol]; iron to Fe2+: 55.845e-3/2
/// @param density of the metal [kg/m3]
double penetration_rate_from_current(double current_density, double equivalent_mass, double density);

/// Depth lost per time [m/s] by a mass lost per area and time [kg/(m2 s)] of metal of a density [kg/m3].
double penetration_rate_from_mass(double mass_flux, double density);

/// Mass flux of iron [kg/(m2 s)] when all oxygen that crosses the water film [mol/(m2 s)] becomes Fe2O3.
double iron_loss(double oxygen_flux);

/// Oxygen flux [mol/(m2 s)] to steel under a stagnant film: `k c`, the most the film passes.
/// @param film_coefficient diffusivity over film thickness [m/s] @param concentration dissolved oxygen
/// [mol/m3]
double oxygen_flux_limit(double film_coefficient, double concentration);

/// Current density [A/m2] of an oxygen flux [mol/(m2 s)]: `4 F N`.
double oxygen_current(double oxygen_flux);

}  // namespace oxfade::flow
