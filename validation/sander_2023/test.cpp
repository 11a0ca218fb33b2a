#include <gtest/gtest.h>

#include <cmath>

#include "check.hpp"
#include "oxfade/gas/dissolved.hpp"

using namespace oxfade;
using namespace oxfade::validation;

namespace {

double henry(const Row& row, double temperature) {
    const bool oxygen = row.text("species") == "oxygen";
    return gas::henry_constant(oxygen ? gas::Species::oxygen : gas::Species::nitrogen, temperature);
}

}  // namespace

TEST(sander_2023, henry_constants) {
    const auto constant = [](const Row& row) { return henry(row, row.number("temperature_k")); };
    const auto slope = [](const Row& row) {
        const double low = row.number("temperature_k") - 5.0, high = low + 10.0;
        return std::log(henry(row, high) / henry(row, low)) / (1.0 / high - 1.0 / low);
    };
    check_rows("sander_2023", {{"gas::henry_constant", constant}, {"gas::henry_constant slope", slope}});
}
