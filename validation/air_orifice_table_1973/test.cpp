#include <gtest/gtest.h>

#include <numbers>

#include "check.hpp"
#include "oxfade/flow/orifice.hpp"
#include "oxfade/gas/constants.hpp"
#include "units.hpp"

using namespace oxfade;
using namespace oxfade::validation;

TEST(air_orifice_table_1973, every_entry) {
    const auto free_air = [](const Row& row) {
        // Free air as the table defines it: 14.7 psia, 70 degF, 0.07494 lb/ft3. Its molar mass follows.
        constexpr double outside = 14.7 * psi, density = 0.07494 * pound / (foot * foot * foot);
        constexpr double molar_mass = density * gas::gas_constant * 529.67 * rankine / outside;
        const double bore = row.number("bore_m");
        const double flow =
            flow::orifice_flow(std::numbers::pi / 4.0 * bore * bore, row.number("upstream_pa"), outside,
                               530.0 * rankine, molar_mass);
        return flow * molar_mass / density * 60.0 / (foot * foot * foot);
    };
    check_rows("air_orifice_table_1973", {{"flow::orifice_flow", free_air}});
}
