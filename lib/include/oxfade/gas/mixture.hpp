#pragma once

#include <array>
#include <cstddef>
#include <string_view>

#include "oxfade/gas/constants.hpp"

/// Species and mixtures without state.
namespace oxfade::gas {

/// The species carried. Argon stands for everything inert that is not nitrogen.
enum class Species : std::size_t { nitrogen = 0, oxygen = 1, argon = 2 };

inline constexpr std::size_t species_count = 3;
inline constexpr std::array<std::string_view, species_count> species_name{"nitrogen", "oxygen", "argon"};
/// Molar masses [kg/mol], conventional values (IUPAC/CIAAW).
inline constexpr std::array<double, species_count> species_molar_mass{28.0134e-3, 31.9988e-3, 39.948e-3};

/// A dry gas as mole fractions that sum to one.
struct Mixture {
    std::array<double, species_count> fraction{1.0, 0.0, 0.0};

    constexpr double operator[](Species s) const { return fraction[static_cast<std::size_t>(s)]; }
    /// Mean molar mass [kg/mol] (model.md eq. 3).
    constexpr double molar_mass() const {
        double mass = 0.0;
        for (std::size_t s = 0; s < species_count; ++s) mass += fraction[s] * species_molar_mass[s];
        return mass;
    }
    /// Purity as analysers in the trade show it: 1 - oxygen, so that argon counts as inert.
    constexpr double purity() const { return 1.0 - (*this)[Species::oxygen]; }
};

/// Dry air (U.S. Standard Atmosphere 1976, Table 3; what is neither N2 nor O2 is carried as argon).
constexpr Mixture dry_air() { return {{0.78084, 0.209476, 0.009684}}; }

/// Nitrogen of a purity in [0, 1]: oxygen 1 - purity, the rest nitrogen (model.md eq. 4).
constexpr Mixture nitrogen_of_purity(double purity) { return {{purity, 1.0 - purity, 0.0}}; }

/// Moles of gas in a volume [m3] at a pressure [Pa] and temperature [K] (model.md eq. 1 and 14).
constexpr double moles(double pressure, double volume, double temperature) {
    return pressure * volume / (gas_constant * temperature);
}

}  // namespace oxfade::gas
