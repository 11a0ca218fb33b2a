#include <gtest/gtest.h>

#include <cmath>

#include "nozzle.hpp"

using namespace oxfade::validation;

TEST(shapiro_1953, fliegner_constant) {
    const auto constant = [](const Row& row) {
        const double force = row.number("upstream_pa") * row.number("area_m2") / pound_force;
        return nozzle_mass_flow(row) / pound * std::sqrt(row.number("temperature_k") / rankine) / force;
    };
    check_rows("shapiro_1953", {{"flow::orifice_flow", constant}});
}
