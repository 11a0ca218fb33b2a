#include <gtest/gtest.h>

#include "check.hpp"
#include "oxfade/gas/atmosphere.hpp"
#include "oxfade/gas/mixture.hpp"

using namespace oxfade;
using namespace oxfade::validation;

TEST(mcmanus_2009, oxygen_at_altitude) {
    const auto sea_level_percentage = [](const Row& row) {
        const double ratio = gas::air_pressure_at_altitude(row.number("altitude_m")) / gas::standard_pressure;
        return 100.0 * ratio * gas::dry_air()[gas::Species::oxygen];
    };
    check_rows("mcmanus_2009", {{"gas::dry_air and gas::air_pressure_at_altitude", sea_level_percentage}});
}
