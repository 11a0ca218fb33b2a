#include <gtest/gtest.h>

#include "check.hpp"
#include "oxfade/flow/orifice.hpp"
#include "oxfade/flow/pipe_friction.hpp"

using namespace oxfade;
using namespace oxfade::validation;

namespace {

double mass_flow(const Row& row, double bore, double length, double upstream, double downstream) {
    const double molar_mass = row.number("molar_mass_kg_mol");
    return molar_mass * flow::isothermal_pipe_flow(row.number("resistance_per_metre") * length / bore, bore,
                                                   upstream, downstream, row.number("temperature_k"),
                                                   molar_mass);
}

}  // namespace

TEST(massey_2006, nozzle_and_pipe) {
    const auto throat = [](const Row& row) { return flow::critical_ratio * row.number("upstream_pa") / 1e3; };
    const auto bore = [](const Row& row) {
        return root(
            [&](double d) {
                return mass_flow(row, d, row.number("length_m"), row.number("upstream_pa"),
                                 row.number("downstream_pa")) -
                       row.number("mass_flow_kg_s");
            },
            0.01, 0.2);
    };
    const auto half_way = [](const Row& row) {
        const double d = row.number("bore_m"), half = row.number("length_m") / 2.0;
        const double from = row.number("upstream_pa"), to = row.number("downstream_pa");
        const auto mismatch = [&](double p) {
            return mass_flow(row, d, half, from, p) - mass_flow(row, d, half, p, to);
        };
        return root(mismatch, to, from) / 1e3;
    };
    check_rows("massey_2006", {{"flow::critical_ratio", throat},
                               {"flow::isothermal_pipe_flow inverted", bore},
                               {"flow::isothermal_pipe_flow half way", half_way}});
}
