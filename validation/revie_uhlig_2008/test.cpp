#include <gtest/gtest.h>

#include "check.hpp"
#include "oxfade/flow/corrosion.hpp"
#include "oxfade/gas/dissolved.hpp"
#include "units.hpp"

using namespace oxfade;
using namespace oxfade::validation;

TEST(revie_uhlig_2008, oxygen_limited_corrosion) {
    const auto coefficient = [](const Row& row) {
        const double film = row.number("diffusivity_m2_s") / row.number("film_m");
        const double flux = flow::oxygen_flux_limit(film, row.number("concentration_mol_m3"));
        return flow::oxygen_current(flux) / flow::electrons_per_oxygen / 1e4;
    };
    const auto first_rate = [](const Row& row) {
        const double film = row.number("diffusivity_m2_s") / row.number("film_m");
        const double oxygen =
            gas::dissolved_concentration(gas::Species::oxygen, gas::dry_air()[gas::Species::oxygen],
                                         row.number("pressure_pa"), row.number("temperature_k"));
        const double current = flow::oxygen_current(flow::oxygen_flux_limit(film, oxygen));
        const double depth = flow::penetration_rate_from_current(
            current, row.number("equivalent_mass_kg_mol"), flow::iron_density);
        return depth * flow::iron_density * 1e3 * day;
    };
    check_rows("revie_uhlig_2008", {{"flow::oxygen_current of flux limit", coefficient},
                                    {"flow::oxygen_current and dissolved oxygen", first_rate}});
}
