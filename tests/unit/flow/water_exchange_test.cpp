#include "oxfade/flow/water_exchange.hpp"

#include <gtest/gtest.h>

#include "oxfade/gas/constants.hpp"
#include "oxfade/gas/dissolved.hpp"
#include "oxfade/gas/water.hpp"

namespace oxfade::flow {
namespace {

TEST(WaterExchange, DiffusivityOfVapour) {
    // 0.260 cm2/s at 298 K and one atmosphere is in many handbooks; the correlation is within its 5 %.
    EXPECT_NEAR(vapour_diffusivity_times_pressure(298.0) / gas::standard_pressure, 0.260e-4, 0.05 * 0.260e-4);
}

TEST(WaterExchange, FilmIsThinnerInASmallPipe) {
    EXPECT_NEAR(vapour_film_coefficient(0.05, 2e5, 293.15), 2.0 * vapour_film_coefficient(0.1, 2e5, 293.15),
                1e-12);
    EXPECT_NEAR(vapour_film_coefficient(0.1, 1e5, 293.15), 4.0 * vapour_film_coefficient(0.1, 4e5, 293.15),
                1e-12);
}

TEST(WaterExchange, EvaporatesCondensesAndFades) {
    const VapourBalance place{0.1, 0.2, 0.5, 3e5};
    const WaterProperties mild(293.15);
    const double saturated = saturated_vapour(293.15) * 0.5;
    EXPECT_GT(evaporation(mild, place, 0.5 * saturated, 10.0, 1e-3).flow, 0.0);
    EXPECT_LT(evaporation(mild, place, 1.5 * saturated, 10.0, 1e-3).flow, 0.0);
    EXPECT_EQ(evaporation(mild, place, 0.5 * saturated, 0.0, 1e-3).flow, 0.0);
    EXPECT_LT(evaporation(mild, place, 1.5 * saturated, 0.0, 1e-3).flow, 0.0);  // condenses on a dry wall
    EXPECT_NEAR(evaporation(mild, place, 0.0, 1e-3, 1e-3).flow,
                0.5 * evaporation(mild, place, 0.0, 1e9, 1e-3).flow, 1e-12);
    EXPECT_EQ(evaporation(mild, {0.1, 0.0, 0.5, 3e5}, 0.0, 1.0, 1e-3).flow, 0.0);
}

TEST(WaterExchange, SlopesAreDerivatives) {
    const VapourBalance place{0.1, 0.2, 0.5, 3e5};
    const WaterProperties mild(293.15);
    const double v = 0.2, w = 2e-3, least = 1e-3, dv = 1e-6, dw = 1e-8;
    const Evaporation e = evaporation(mild, place, v, w, least);
    const double by_v =
        (evaporation(mild, place, v + dv, w, least).flow - evaporation(mild, place, v - dv, w, least).flow) /
        (2 * dv);
    const double by_w =
        (evaporation(mild, place, v, w + dw, least).flow - evaporation(mild, place, v, w - dw, least).flow) /
        (2 * dw);
    EXPECT_NEAR(e.by_vapour, by_v, 1e-6 * std::abs(by_v));
    EXPECT_NEAR(e.by_water, by_w, 1e-5 * std::abs(by_w));
}

TEST(WaterExchange, NothingDissolvesThroughIce) {
    EXPECT_EQ(WaterProperties(263.15).coefficient, 0.0);
    EXPECT_EQ(WaterProperties(283.15).henry[0], gas::henry_constant(gas::Species::oxygen, 283.15));
    EXPECT_EQ(WaterProperties(350.0).henry[0], gas::henry_constant(gas::Species::oxygen, 323.15));
}

TEST(WaterExchange, DewAndFrostPoints) {
    EXPECT_NEAR(dew_or_frost_point(gas::saturation_pressure(288.15)), 288.15, 1e-3);
    EXPECT_NEAR(dew_or_frost_point(gas::saturation_pressure(258.15)), 258.15, 1e-3);
    EXPECT_NEAR(dew_or_frost_point(611.657), 273.16, 0.02);
    EXPECT_GT(dew_or_frost_point(0.0), 50.0);
}

}  // namespace
}  // namespace oxfade::flow
