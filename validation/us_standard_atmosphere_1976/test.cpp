#include <gtest/gtest.h>

#include "check.hpp"
#include "oxfade/gas/atmosphere.hpp"
#include "oxfade/gas/mixture.hpp"

using namespace oxfade;
using namespace oxfade::validation;

TEST(us_standard_atmosphere_1976, pressure_and_composition) {
    check_rows("us_standard_atmosphere_1976",
               {{"gas::air_pressure_at_altitude",
                 [](const Row& row) { return gas::air_pressure_at_altitude(row.number("altitude_m")); }},
                {"gas::dry_air", [](const Row&) { return 1e3 * gas::dry_air().molar_mass(); }},
                {"gas::dry_air oxygen", [](const Row&) { return gas::dry_air()[gas::Species::oxygen]; }}});
}
