#pragma once

/// Buoyant counter-flow of heavy and light gas in a pipe: how air leaves a dead end by itself (model.md
/// section 4).
namespace oxfade::flow {

/// A straight pipe in the direction in which the fraction of air grows.
struct CounterFlowPipe {
    double radius = 0.0;  ///< [m]
    double sine = 0.0;    ///< of the pitch, -1 to 1: positive where the heavy gas lies above the light
    double cosine = 1.0;  ///< of the pitch, 0 to 1
};

/// The gas, and what moves it.
struct CounterFlowGas {
    double reduced_gravity = 0.0;  ///< g (rho_1 - rho_0)/rho [m/s2], >= 0; rho_1 at fraction 1, rho_0 at 0
    double diffusivity = 0.0;      ///< [m2/s]
    double kinematic_viscosity = 0.0;  ///< [m2/s]
    /// (g/rho) drho/dx from temperature and vapour [1/s2], x along the pipe towards the larger fraction of
    /// the heavy gas: positive where the gas grows denser that way for these reasons as well.
    double other_gradient = 0.0;
};

enum class CounterFlowSlopes { wanted, left_out };

/// What gas gets along the pipe by itself, of all the section.
struct CounterFlowExchange {
    double spread = 0.0;  ///< flux of the fraction over its gradient, molecular diffusion included [m2/s]
    double slope = 0.0;   ///< d flux / d gradient, contrast held [m2/s]
    double contrast_slope = 0.0;  ///< d flux / d contrast, gradient held [m/s]
};

/// Exchange by molecular diffusion and buoyant counter-flow. Heavy and light gas slide over each other with
/// the speed U (mean of |u|) and carry the contrast s:
///
///     flux = spread G = D G + U s
///     nu U/(A a^2) + phi U^2 q G/C' = B (1 - (m U)^2/(F^2 w))      drag and inertia against drive
///     B = a cosine |g' G + N| + e sine (g' + 0.315 N/G) s
///     s = b a^2 q G U/D_lat,  q = 1/(1 + b a^2 G U/(sigma C' D_lat)),  D_lat = max(D, chi a m U), rounded
///     m = U^2/(U^2 + r cosine w),  w = a C' (g' + |N|/(G + C'/(30 a)))
///
/// with G the gradient, C' = C + a G the contrast a radius further from the mouth, a the radius, N the other
/// gradient, w the square of the speed of waves between the streams. m tells how far the counter-flow stirs
/// itself: 1 in vertical pipe, little where gravity keeps the light gas above the heavy. The cosine that
/// drives is never below 0.01: no pipe hangs plumb.
///
/// A, b and e follow from weak flow: `D (1 + (7/46080) Ra^2)`, Ra = g' G a^4/(nu D), in level pipe
/// [erdogan_chatwin_1967]; onset in vertical pipe at Ra = 67.95 [taylor_1954], at 215.6 where the walls hold
/// the temperature. sigma, phi, F, chi and r were fitted to our own simulations of dead ends:
/// validation/counterflow_law.md has them and the range (bores of 1 to 4 in, every pitch).
///
/// The spread is never below D, and finite at G = 0. The flux grows with G, except where the other gradient
/// opposes and nearly balances that of composition: there the slope can be negative, as in nature; an
/// implicit solver may put the diffusivity in its place.
/// @param gradient of the fraction [1/m], >= 0
/// @param contrast |c - c_mouth| midway between two cells, also where the mouth is one of them, with c_mouth
///     the fraction at the mouth of this dead end
/// @param speed where not null, holds the speed U found last under conditions not far from these [m/s], or 0,
///     and is given the one found now: that saves most of the search
/// @param slopes left out where only the spread counts, which is then found to 1e-7 with half the work;
///     the slopes given are then those of no flow
CounterFlowExchange counter_flow(const CounterFlowPipe& pipe, const CounterFlowGas& gas, double gradient,
                                 double contrast, double* speed = nullptr,
                                 CounterFlowSlopes slopes = CounterFlowSlopes::wanted) noexcept;

}  // namespace oxfade::flow
