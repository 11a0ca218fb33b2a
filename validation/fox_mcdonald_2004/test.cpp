#include <gtest/gtest.h>

#include "nozzle.hpp"

using namespace oxfade;
using namespace oxfade::validation;

TEST(fox_mcdonald_2004, nozzles_and_a_leaking_tank) {
    const auto in_printed_unit = [](const Row& row) {
        return nozzle_mass_flow(row) / (row.text("unit") == "lb/s" ? pound : 1.0);
    };
    const auto throat = [](const Row& row) {
        const double molar_mass = row.number("molar_mass_kg_mol");
        const double per_area =
            molar_mass * flow::orifice_flow(1.0, row.number("upstream_pa"), row.number("downstream_pa"),
                                            row.number("temperature_k"), molar_mass);
        return row.number("mass_flow_kg_s") / per_area / (foot * foot);
    };
    const auto fall = [](const Row& row) { return -nozzle_mass_flow(row) / row.number("volume_m3"); };
    check_rows("fox_mcdonald_2004", {{"flow::orifice_flow", in_printed_unit},
                                     {"flow::orifice_flow inverted", throat},
                                     {"flow::orifice_flow per volume", fall}});
}
