#include "oxfade/gas/transport.hpp"

#include <array>
#include <cmath>

namespace oxfade::gas {
namespace {

/// Lennard-Jones parameters and molar mass as given in Lemmon and Jacobsen (2004), Table I.
struct DiluteGas {
    double molar_mass;  // [g/mol]
    double energy;      // epsilon/k [K]
    double size;        // sigma [nm]
};
constexpr std::array<DiluteGas, species_count> dilute_gas{
    {{28.01348, 98.94, 0.3656}, {31.9988, 118.5, 0.3428}, {39.948, 143.2, 0.335}}};

}  // namespace

double viscosity(Species species, double temperature) {
    const DiluteGas& gas = dilute_gas[static_cast<std::size_t>(species)];
    constexpr std::array<double, 5> b{0.431, -0.4623, 0.08406, 0.005341, -0.00331};
    const double x = std::log(temperature / gas.energy);
    const double collision = std::exp(b[0] + x * (b[1] + x * (b[2] + x * (b[3] + x * b[4]))));
    return 1e-6 * 0.0266958 * std::sqrt(gas.molar_mass * temperature) / (gas.size * gas.size * collision);
}

double viscosity(const Mixture& mixture, double temperature) {
    std::array<double, species_count> mu{};
    for (std::size_t i = 0; i < species_count; ++i) mu[i] = viscosity(static_cast<Species>(i), temperature);
    double total = 0.0;
    for (std::size_t i = 0; i < species_count; ++i) {
        double weight = 0.0;
        for (std::size_t j = 0; j < species_count; ++j) {
            const double mass_ratio = species_molar_mass[j] / species_molar_mass[i];
            const double root = 1.0 + std::sqrt(mu[i] / mu[j]) * std::pow(mass_ratio, 0.25);
            weight += mixture.fraction[j] * root * root / std::sqrt(8.0 * (1.0 + 1.0 / mass_ratio));
        }
        total += mixture.fraction[i] * mu[i] / weight;
    }
    return total;
}

double diffusivity_times_pressure(double temperature) {
    constexpr double atmosphere = 101325.0, cm2 = 1e-4;
    return 1.13e-5 * std::pow(temperature, 1.724) * cm2 * atmosphere;
}

}  // namespace oxfade::gas
