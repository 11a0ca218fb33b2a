#include <gtest/gtest.h>

#include <numbers>

#include "pipe_pressure.hpp"

using namespace oxfade;
using namespace oxfade::validation;

TEST(coulson_richardson_1999, long_lines) {
    const auto inlet = [](const Row& row) { return inlet_pressure(row, flow::Acceleration::counted); };
    const auto flux = [](const Row& row) {
        const double molar_mass = row.number("molar_mass_kg_mol"), bore = row.number("bore_m");
        const double flow = flow::isothermal_pipe_flow(
            row.number("resistance"), bore, row.number("upstream_pa"), row.number("downstream_pa"),
            row.number("temperature_k"), molar_mass, flow::Acceleration::counted);
        return molar_mass * flow / (std::numbers::pi / 4.0 * bore * bore);
    };
    check_rows("coulson_richardson_1999", {{"flow::isothermal_pipe_flow inverted", inlet},
                                           {"flow::isothermal_pipe_flow per area", flux}});
}
