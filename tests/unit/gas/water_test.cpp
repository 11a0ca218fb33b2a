#include "oxfade/gas/water.hpp"

#include <gtest/gtest.h>

#include <stdexcept>

namespace oxfade::gas {
namespace {

TEST(Water, SaturatesAlikeOverIceAndWaterAtTheTriplePoint) {
    EXPECT_NEAR(saturation_pressure_over_ice(water_triple_temperature), water_triple_pressure, 1e-6);
    EXPECT_NEAR(saturation_pressure_over_water(water_triple_temperature), water_triple_pressure, 0.01);
}

TEST(Water, SaturationTakesIceBelowTheTriplePoint) {
    EXPECT_EQ(saturation_pressure(253.15), saturation_pressure_over_ice(253.15));
    EXPECT_EQ(saturation_pressure(283.15), saturation_pressure_over_water(283.15));
}

TEST(Water, DewAndFrostPointUndoSaturation) {
    for (double t = 274.0; t < 640.0; t += 7.3)
        EXPECT_NEAR(dew_point(saturation_pressure_over_water(t)), t, 1e-6);
    for (double t = 150.0; t < 273.16; t += 3.7)
        EXPECT_NEAR(frost_point(saturation_pressure_over_ice(t)), t, 1e-9);
    EXPECT_NEAR(frost_point(water_triple_pressure), water_triple_temperature, 1e-9);
}

TEST(Water, IsDensestAtFourDegrees) {
    EXPECT_GT(water_density(277.13), water_density(275.13));
    EXPECT_GT(water_density(277.13), water_density(279.13));
    EXPECT_NEAR(water_density(277.13), 999.97, 0.01);
}

TEST(Water, RefusesWhatIsOutsideItsRanges) {
    EXPECT_THROW(saturation_pressure_over_water(273.0), std::domain_error);
    EXPECT_THROW(saturation_pressure_over_water(648.0), std::domain_error);
    EXPECT_THROW(saturation_pressure_over_ice(273.2), std::domain_error);
    EXPECT_THROW(saturation_pressure_over_ice(49.0), std::domain_error);
    EXPECT_THROW(dew_point(600.0), std::domain_error);
    EXPECT_THROW(frost_point(700.0), std::domain_error);
    EXPECT_THROW(frost_point(0.0), std::domain_error);
    EXPECT_THROW(water_density(272.0), std::domain_error);
    EXPECT_THROW(water_density(400.0), std::domain_error);
}

TEST(Water, TakesZeroDegreesWithRoundingErrors) {
    EXPECT_NO_THROW(saturation_pressure_over_water(273.15 - 1e-9));
    EXPECT_NO_THROW(water_density(273.15 - 1e-9));
}

}  // namespace
}  // namespace oxfade::gas
