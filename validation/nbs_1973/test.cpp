#include <gtest/gtest.h>

#include "check.hpp"
#include "oxfade/gas/dissolved.hpp"
#include "oxfade/gas/water.hpp"

using namespace oxfade;
using namespace oxfade::validation;

namespace {

/// Millionths of mole fraction in water per bar of a species.
double solubility(gas::Species species, double temperature) {
    const double water = gas::water_density(temperature) / gas::water_molar_mass;
    return 1e6 * 1e5 * gas::henry_constant(species, temperature) / water;
}

}  // namespace

TEST(nbs_1973, nitrogen_and_air) {
    const auto nitrogen = [](const Row& row) {
        return solubility(gas::Species::nitrogen, row.number("temperature_k"));
    };
    const auto air = [](const Row& row) {
        const double temperature = row.number("temperature_k");
        return 0.7902 * solubility(gas::Species::nitrogen, temperature) +
               0.2098 * solubility(gas::Species::oxygen, temperature);
    };
    check_rows("nbs_1973", {{"gas::henry_constant", nitrogen}, {"gas::henry_constant of air", air}});
}
