#pragma once

#include "engine/network.hpp"

/// Isothermal pipe flow between the centres of two neighbouring cells (model.md eq. 13).
namespace oxfade::engine {

/// The gas in a link.
struct LinkGas {
    double temperature = 0.0;  ///< [K]
    double molar_mass = 0.0;   ///< [kg/mol]
    double viscosity = 0.0;    ///< [Pa s]
};

/// Flow through a link and a slope of it.
struct FrictionFlow {
    double flow = 0.0;   ///< [mol/s], of the sign of the difference of the squared pressures
    double slope = 0.0;  ///< against that difference [mol/(s Pa2)], > 0
};

/// Flow under a difference of squared pressures [Pa2]. Straight through zero, where the flow is laminar; of
/// continuous slope everywhere.
/// @param guess a flow to start the search for turbulent flow from [mol/s], 0 for none
/// @param towards a flow that a disturbed one will fall back to [mol/s]. The slope returned is that of the
/// chord from the flow to it: a turbulent flow goes about as the root of the difference, and its tangent
/// would throw it as far to the other side.
FrictionFlow friction_flow(const LinkFriction& link, double squares, const LinkGas& gas, double guess,
                           double towards);

}  // namespace oxfade::engine
