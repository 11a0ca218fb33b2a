#include <gtest/gtest.h>

#include "check.hpp"
#include "oxfade/gas/transport.hpp"

using namespace oxfade;
using namespace oxfade::validation;

TEST(lemmon_jacobsen_2004, zero_density) {
    const auto viscosity = [](const Row& row) {
        const std::string& name = row.text("gas");
        const double temperature = row.number("temperature_k");
        if (name == "Air") return 1e6 * gas::viscosity(gas::dry_air(), temperature);
        return 1e6 *
               gas::viscosity(name == "N2" ? gas::Species::nitrogen : gas::Species::oxygen, temperature);
    };
    check_rows("lemmon_jacobsen_2004", {{"gas::viscosity", viscosity}});
}
