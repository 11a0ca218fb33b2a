#include <gtest/gtest.h>

#include "check.hpp"
#include "oxfade/flow/pipe_friction.hpp"
#include "units.hpp"

using namespace oxfade;
using namespace oxfade::validation;

namespace {

/// The paper's standard air: 14.7 psia and 60 degF.
constexpr double standard_moles_per_m3 = 14.696 * psi / (gas::gas_constant * 519.67 * rankine);

/// Molar flow through the row's pipe to an end pressure.
double air_flow(const Row& row, double end) {
    const flow::PipeRun pipe{row.number("length_m"), row.number("bore_m"), row.number("roughness_m"),
                             row.number("losses")};
    return flow::isothermal_pipe_flow(pipe, row.number("upstream_pa"), end, row.number("temperature_k"),
                                      gas::dry_air(), flow::Acceleration::counted);
}

}  // namespace

TEST(crane_tp410_2009, compressed_air) {
    const auto discharge = [](const Row& row) {
        const double standard = air_flow(row, row.number("downstream_pa")) / standard_moles_per_m3;
        return standard * 3600.0 / (foot * foot * foot);
    };
    const auto drop = [](const Row& row) {
        const double start = row.number("upstream_pa");
        const double wanted = row.number("standard_flow_m3_s") * standard_moles_per_m3;
        const auto excess = [&](double lost) { return air_flow(row, start - lost) - wanted; };
        return root(excess, 1.0, 0.3 * start) / psi;
    };
    check_rows("crane_tp410_2009", {{"flow::isothermal_pipe_flow of a run", discharge},
                                    {"flow::isothermal_pipe_flow of a run inverted", drop}});
}
