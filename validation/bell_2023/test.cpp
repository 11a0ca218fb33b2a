#include <gtest/gtest.h>

#include "check.hpp"
#include "oxfade/flow/pipe_friction.hpp"

using namespace oxfade;
using namespace oxfade::validation;

TEST(bell_2023, friction_and_pipe_flow) {
    using Factor = double (*)(double, double);
    const auto factor = [](Factor law) {
        return
            [law](const Row& row) { return law(row.number("reynolds"), row.number("relative_roughness")); };
    };
    const auto mass_flow = [](const Row& row) {
        const double molar_mass = row.number("molar_mass_kg_mol");
        return molar_mass * flow::isothermal_pipe_flow(row.number("resistance"), row.number("bore_m"),
                                                       row.number("upstream_pa"), row.number("downstream_pa"),
                                                       row.number("temperature_k"), molar_mass,
                                                       flow::Acceleration::counted);
    };
    check_rows("bell_2023", {{"flow::colebrook_friction_factor", factor(flow::colebrook_friction_factor)},
                             {"flow::haaland_friction_factor", factor(flow::haaland_friction_factor)},
                             {"flow::friction_factor", factor(flow::friction_factor)},
                             {"flow::isothermal_pipe_flow", mass_flow}});
}
