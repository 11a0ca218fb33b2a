#include <gtest/gtest.h>

#include "nozzle.hpp"

using namespace oxfade::validation;

TEST(iso_6358_2013, sonic_conductance) {
    const auto area_per_conductance = [](const Row& row) {
        constexpr double reference_density = 1.185;  // [kg/m3], of the standard
        const double conductance = nozzle_mass_flow(row) / reference_density / row.number("upstream_pa");
        const double litres_per_bar = conductance * 1e3 * 1e5;
        return row.number("area_m2") * 1e6 / litres_per_bar;
    };
    check_rows("iso_6358_2013", {{"flow::orifice_flow per conductance", area_per_conductance}});
}
