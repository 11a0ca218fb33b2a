#pragma once

/// Where the series of the cruise lie in memory, for kernels of every instruction set: plain data only.
namespace oxfade::engine {

constexpr int series_order = 32;       ///< highest power of the compositions
constexpr int series_flow_order = 16;  ///< highest power of the flows

/// 1/k.
inline constexpr double inverse_integers[series_order + 2] = {
    0.0,      1.0,      1.0 / 2,  1.0 / 3,  1.0 / 4,  1.0 / 5,  1.0 / 6,  1.0 / 7,  1.0 / 8,
    1.0 / 9,  1.0 / 10, 1.0 / 11, 1.0 / 12, 1.0 / 13, 1.0 / 14, 1.0 / 15, 1.0 / 16, 1.0 / 17,
    1.0 / 18, 1.0 / 19, 1.0 / 20, 1.0 / 21, 1.0 / 22, 1.0 / 23, 1.0 / 24, 1.0 / 25, 1.0 / 26,
    1.0 / 27, 1.0 / 28, 1.0 / 29, 1.0 / 30, 1.0 / 31, 1.0 / 32, 1.0 / 33};

/// `E` is a number, or a vector of one number a plant. Rows hold one entry a node, `stride` apart; entries
/// beyond the last node are zero but for the molar masses.
template <class E>
struct SeriesView {
    int nodes = 0, stride = 0, risers = 0;
    const int* parent = nullptr;  ///< -1 where gas enters
    const int* roots = nullptr;   ///< where it enters, one a riser

    E mass_product{}, mass_excess{};  ///< as in Gases
    E made{}, made_air{};             ///< by the source [mol/s]
    E source{}, source_air{};         ///< in the receiver [mol]
    E inverse_source{};
    bool pure = false;    ///< neither holds nor gets the receiver any air
    bool steady = false;  ///< its content counts as constant, with this inverse, for the air in it
    E steady_inverse{};
    int terms = 0, flow_terms = 0;    ///< highest powers in use
    E own_terms{}, own_flow_terms{};  ///< the same of each plant, where a vector holds several

    E* inverse_moles = nullptr;  ///< of each node [1/mol]
    E* strength = nullptr;       ///< outflow of each node times sqrt(M)
    E* outflow = nullptr;        ///< what left each node over the step [mol]
    E* air_outflow = nullptr;    ///< of it, air [mol]

    // Rows of coefficients, one a power.
    E* z = nullptr;          ///< air fraction
    E* deficit = nullptr;    ///< what comes in less what is there
    E* root_mass = nullptr;  ///< 1/sqrt(M)
    E* out = nullptr;        ///< flow to the outside
    E* link = nullptr;       ///< flow into each node from its parent
    E* air = nullptr;        ///< air to the outside
    E supply[series_flow_order + 1]{};
    E source_series[series_flow_order + 2]{};
    E source_fraction[series_order + 1]{}, source_air_series[series_order + 1]{};
};

}  // namespace oxfade::engine
