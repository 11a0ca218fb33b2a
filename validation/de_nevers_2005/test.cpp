#include <gtest/gtest.h>

#include "check.hpp"
#include "tank.hpp"
#include "units.hpp"

using namespace oxfade::validation;

TEST(de_nevers_2005, pumped_tank) {
    constexpr double near_vacuum = 1.0;  // [Pa]
    const auto tank = [](const Row& row) {
        const double temperature = row.number("temperature_k");
        return Tank{row.number("volume_m3"), row.number("start_pa"), near_vacuum, temperature,
                    pump_area(row.number("flow_m3_s"), temperature)};
    };
    check_rows("de_nevers_2005",
               {{"engine::predict, pump-down",
                 [&](const Row& row) { return letting_down_time(tank(row), row.number("end_pa")) / 60.0; }},
                {"engine::predict, pump against a leak", [&](const Row& row) {
                     return steady_pressure(tank(row), row.number("inflow_kg_s")) / atmosphere;
                 }}});
}
