#pragma once

#include "oxfade/gas/mixture.hpp"

/// Isothermal compressible flow in a pipe (model.md eq. 13) and its friction factor.
namespace oxfade::flow {

inline constexpr double laminar_below = 2000.0;    ///< Reynolds number
inline constexpr double turbulent_above = 4000.0;  ///< Reynolds number
inline constexpr double steel_roughness = 45e-6;   ///< new commercial steel [m], Moody (1944)

/// Reynolds number of a molar flow [mol/s] of gas: `4 M N / (pi d mu)`.
/// @param molar_mass [kg/mol] @param bore [m] @param viscosity [Pa s]
double reynolds_number(double molar_flow, double molar_mass, double bore, double viscosity);

/// Darcy friction factor of turbulent flow, Haaland (1983): explicit, within 2 % of Colebrook.
/// @param relative_roughness roughness over bore, 0 to 0.05 @param reynolds 4e3 to 1e8
double haaland_friction_factor(double reynolds, double relative_roughness);

/// Darcy friction factor of turbulent flow, Colebrook (1939), solved to the last digits by Newton's method
/// from Haaland's value: `1/sqrt(f) = -2 lg(e/3.7 + 2.51/(Re sqrt(f)))`. Arguments as above.
double colebrook_friction_factor(double reynolds, double relative_roughness);

/// Darcy friction factor at any Reynolds number > 0: `64/Re` below 2000, Colebrook above 4000, and between
/// them the two weighed by a cubic in Re, so that value and slope are continuous. Flow in that range is
/// unsteady in truth; the blend is a convention.
double friction_factor(double reynolds, double relative_roughness);

/// The same with its slope against the Reynolds number.
struct FrictionFactor {
    double value = 0.0, slope = 0.0;
};
FrictionFactor friction_factor_with_slope(double reynolds, double relative_roughness);

/// Whether the kinetic energy of the expanding gas is counted (the logarithm in eq. 13).
enum class Acceleration { neglected, counted };

/// Molar flow [mol/s] of ideal gas at constant temperature through a pipe of given total resistance:
/// `(M N)^2 = A^2 (p1^2 - p2^2) M / (R T (K + 2 ln(p1/p2)))`, the logarithm only where acceleration is
/// counted. With acceleration the flow chokes: it does not grow once p2 is below that of its maximum.
/// @param resistance friction factor times length over bore, plus loss coefficients; > 0
/// @param bore [m] @param upstream, downstream absolute pressures [Pa] @param temperature [K]
/// @param molar_mass [kg/mol]
/// Zero when upstream <= downstream. Any text on compressible flow, for example Coulson and Richardson 1,
/// ch. 4.
double isothermal_pipe_flow(double resistance, double bore, double upstream, double downstream,
                            double temperature, double molar_mass,
                            Acceleration acceleration = Acceleration::neglected);

/// A straight run of pipe.
struct PipeRun {
    double length = 0.0;                 ///< [m], > 0
    double bore = 0.0;                   ///< [m], > 0
    double roughness = steel_roughness;  ///< [m], >= 0
    double losses = 0.0;                 ///< sum of loss coefficients of fittings, entry and exit, >= 0
};

/// The same, with the friction factor that belongs to the flow it finds.
/// Pressures [Pa abs], temperature [K]; the viscosity is that of the mixture at low pressure.
double isothermal_pipe_flow(const PipeRun& pipe, double upstream, double downstream, double temperature,
                            const gas::Mixture& mixture, Acceleration acceleration = Acceleration::neglected);

}  // namespace oxfade::flow
