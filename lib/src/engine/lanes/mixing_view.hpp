#pragma once

namespace oxfade::engine {

/// Pieces of links that mix (model.md section 4, eq. 8 to 11), a row of numbers each. See series_kernel.hpp
/// for what this may include.
struct MixingView {
    // What holds for all of them.
    double mass_product = 0.0, mass_excess = 0.0, viscosity_excess = 0.0;  ///< as in Gases
    double gravity = 0.0;                                                  ///< [m/s2]
    bool molecular = true, buoyant = true, shear = true;                   ///< as in plant::Mixing
    bool with_slopes = true;
    int count = 0;                     ///< rows reach to the next multiple of `lanes`
    const double* fraction = nullptr;  ///< of air in each node
    // Given.
    int *from, *to, *mouth;           ///< nodes
    double* flow;                     ///< between them [mol/s]
    double *area, *inverse_area;      ///< [m2]
    double* area_over_length;         ///< [m]
    double* inverse_over_all;         ///< of the length in this bore that resists as all pieces do [1/m]
    double *radius, *inverse_radius;  ///< [m]
    double *sine, *cosine;            ///< as LinkMixing::Piece
    double *density, *inverse_density, *diffusivity, *inverse_diffusivity, *viscosity;  ///< as MixingGas
    double* expansion;  ///< LinkMixing::warming over the temperature [1/m]
    double* other;  ///< molar mass of what else there is beside air and product, beyond less before [kg/mol]
    // Found.
    double* speed;                    ///< of the counter-flow; at first a guess
    double *g, *slope, *by_contrast;  ///< of the piece alone: G, d(G dz)/d(dz), d flux/d contrast [mol/s]
};

}  // namespace oxfade::engine
