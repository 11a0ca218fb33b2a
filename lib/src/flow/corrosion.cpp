#include "oxfade/flow/corrosion.hpp"

namespace oxfade::flow {

double penetration_rate_from_current(double current_density, double equivalent_mass, double density) {
    return current_density * equivalent_mass / (faraday_constant * density);
}

double penetration_rate_from_mass(double mass_flux, double density) { return mass_flux / density; }

double iron_loss(double oxygen_flux) { return iron_per_oxygen * iron_molar_mass * oxygen_flux; }

double oxygen_flux_limit(double film_coefficient, double concentration) {
    return film_coefficient * concentration;
}

double oxygen_current(double oxygen_flux) { return electrons_per_oxygen * faraday_constant * oxygen_flux; }

}  // namespace oxfade::flow
