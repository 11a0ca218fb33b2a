#include <gtest/gtest.h>

#include "oxfade/gas/dissolved.hpp"
#include "oxfade/gas/water.hpp"
#include "pipe_pressure.hpp"

using namespace oxfade;
using namespace oxfade::validation;

TEST(geankoplis_2003, methane_line_and_dissolved_oxygen) {
    const auto inlet = [](const Row& row) { return inlet_pressure(row, flow::Acceleration::counted); };
    const auto dissolved = [](const Row& row) {
        const double temperature = row.number("temperature_k");
        const double concentration = gas::henry_constant(gas::Species::oxygen, temperature) *
                                     row.number("fraction") * row.number("pressure_pa");
        return 1e6 * concentration * gas::water_molar_mass / gas::water_density(temperature);
    };
    check_rows("geankoplis_2003",
               {{"flow::isothermal_pipe_flow inverted", inlet}, {"gas::henry_constant", dissolved}});
}
