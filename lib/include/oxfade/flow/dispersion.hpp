#pragma once

/// Spreading along a pipe by the flow itself: the middle of the pipe runs ahead of the gas at the wall.
namespace oxfade::flow {

/// Axial dispersion coefficient, molecular diffusion included [m2/s], of steady or slowly changing flow in a
/// straight pipe with hydraulically smooth walls. Re = 2 a |u|/nu:
///
/// * laminar, Re <= 2000: `D (1 + Pe^2/48)`, Pe = |u| a/D [taylor_1953, aris_1956]. Gas must stay longer than
///   about a^2/(14 D). Measured in gases at 1 and 4.4 atm: agrees; bends lessen it a little, constrictions
///   add [evans_kenney_1965].
/// * turbulent, Re >= 4000: `D + 10.1 a u*` [taylor_1954_turbulent], u* the friction velocity after Blasius,
///   `u* = |u| sqrt(0.3164/8) Re^(-1/8)`, good to Re = 1e5; above that within 10 % to Re = 1e6. Measurements
///   below Re = 20 000 lie above Taylor's value [hart_2013], most near transition.
/// * between them the logarithms of the two are weighed by a cubic in Re: value and slope are continuous.
/// Flow in
///   that range is unsteady; the blend is a convention.
///
/// @param speed mean over the section [m/s], either sign @param radius [m]
/// @param diffusivity, kinematic_viscosity [m2/s]
double shear_dispersion(double speed, double radius, double diffusivity, double kinematic_viscosity) noexcept;

}  // namespace oxfade::flow
