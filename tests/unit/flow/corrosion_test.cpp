#include "oxfade/flow/corrosion.hpp"

#include <gtest/gtest.h>

namespace oxfade::flow {
namespace {

TEST(Corrosion, CurrentAndMassTellTheSameDepth) {
    // Iron to Fe3+: the oxygen that takes the electrons is what Fe2O3 needs.
    const double oxygen = 1e-7;  // [mol/(m2 s)]
    const double by_current =
        penetration_rate_from_current(oxygen_current(oxygen), iron_molar_mass / 3.0, iron_density);
    EXPECT_NEAR(by_current, penetration_rate_from_mass(iron_loss(oxygen), iron_density), 1e-12 * by_current);
}

TEST(Corrosion, OxygenLimitedRateGrowsWithOxygen) {
    EXPECT_EQ(oxygen_flux_limit(1e-6, 0.0), 0.0);
    EXPECT_DOUBLE_EQ(oxygen_flux_limit(1e-6, 0.26), 2.0 * oxygen_flux_limit(1e-6, 0.13));
}

}  // namespace
}  // namespace oxfade::flow
