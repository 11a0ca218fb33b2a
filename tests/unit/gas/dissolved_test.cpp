#include "oxfade/gas/dissolved.hpp"

#include <gtest/gtest.h>

#include <stdexcept>

#include "oxfade/gas/water.hpp"

namespace oxfade::gas {
namespace {

TEST(Dissolved, OxygenDissolvesTwiceAsWellAsNitrogen) {
    for (double t = 273.15; t < 323.0; t += 10.0) {
        const double ratio = henry_constant(Species::oxygen, t) / henry_constant(Species::nitrogen, t);
        EXPECT_GT(ratio, 1.7);
        EXPECT_LT(ratio, 2.3);
    }
}

TEST(Dissolved, LessInWarmWater) {
    for (const Species species : {Species::oxygen, Species::nitrogen}) {
        EXPECT_GT(henry_constant(species, 278.15), henry_constant(species, 298.15));
    }
}

TEST(Dissolved, VapourTakesItsShareOfThePressure) {
    const double vapour = saturation_pressure_over_water(298.15);
    const double twice = dissolved_concentration(Species::oxygen, 0.1, vapour + 2e5, 298.15);
    EXPECT_NEAR(twice, 2.0 * dissolved_concentration(Species::oxygen, 0.1, vapour + 1e5, 298.15), 1e-15);
    EXPECT_EQ(dissolved_concentration(Species::oxygen, 0.1, 0.5 * vapour, 298.15), 0.0);
}

TEST(Dissolved, RefusesArgonAndOtherTemperatures) {
    EXPECT_THROW(henry_constant(Species::argon, 298.15), std::domain_error);
    EXPECT_THROW(henry_constant(Species::oxygen, 272.0), std::domain_error);
    EXPECT_THROW(henry_constant(Species::oxygen, 324.0), std::domain_error);
    EXPECT_THROW(henry_constant(Species::nitrogen, 349.0), std::domain_error);
}

}  // namespace
}  // namespace oxfade::gas
