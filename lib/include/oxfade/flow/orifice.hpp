#pragma once

/// Flow laws as pure functions: SI units, no state.
namespace oxfade::flow {

/// Critical pressure ratio of the nozzle, (2/(g+1))^(g/(g-1)) at g = 1.4.
inline constexpr double critical_ratio = 0.52828178771717416;
/// Nozzle function at and below the critical ratio: sqrt(g) (2/(g+1))^((g+1)/(2(g-1))), g = 1.4.
inline constexpr double choked_nozzle_function = 0.68473145637727045;
/// Within this distance of pressure ratio 1 the square root's infinite slope is rounded off.
inline constexpr double rounding_width = 1e-4;

/// Nozzle function psi of model.md eq. 12 and its slope against the pressure ratio.
struct NozzleFunction {
    double value = 0.0;
    double slope = 0.0;
};

/// psi(r) for a pressure ratio r = downstream/upstream in [0, 1]; zero and finite slope at r = 1.
/// Isentropic nozzle flow, for example ISO 9300 and NACA Report 1135; rounded off within `rounding_width`
/// of 1.
NozzleFunction nozzle_function(double pressure_ratio);

/// Flow through a hole of unit effective area, apart from the gas: what remains is to multiply by the
/// effective area [m2] and to divide by sqrt(molar mass [kg/mol]). Zero against the pressure.
struct Draught {
    double value = 0.0;             ///< p_u psi / sqrt(R T) [mol/(s m2) sqrt(kg/mol)]
    double slope_upstream = 0.0;    ///< d value / d p_u
    double slope_downstream = 0.0;  ///< d value / d p_d
};
/// Draught between two pressures [Pa] with gas at a temperature [K] upstream (model.md eq. 12).
Draught draught(double upstream, double downstream, double temperature);

/// Molar flow [mol/s] through an orifice: model.md eq. 12, isentropic nozzle flow times a discharge
/// coefficient.
/// @param effective_area discharge coefficient times area [m2]
/// @param upstream, downstream absolute pressures [Pa]
/// @param temperature upstream [K]
/// @param molar_mass of the gas [kg/mol]
/// Zero when upstream <= downstream (no flow against the pressure).
double orifice_flow(double effective_area, double upstream, double downstream, double temperature,
                    double molar_mass);

}  // namespace oxfade::flow
