#include "oxfade/flow/leak.hpp"

#include <gtest/gtest.h>

#include "oxfade/flow/orifice.hpp"
#include "oxfade/gas/mixture.hpp"

namespace oxfade::flow {
namespace {

constexpr double outside = 101325.0, room = 293.15, volume = 2.0;

TEST(Leak, AreaFromATestGivesThatTestAgain) {
    for (const double to : {3.7e5, 2.5e5, 1.5e5, 1.02e5}) {
        const double area = leak_area_from_test(volume, 4e5, to, 86400.0, outside, room);
        EXPECT_NEAR(blow_down_time(area, volume, 4e5, to, outside, room), 86400.0, 1e-6);
    }
}

TEST(Leak, TimesOfTwoPartsAddUpAcrossTheEndOfChoking) {
    const double whole = blow_down_time(1e-6, volume, 4e5, 1.2e5, outside, room);
    const double parts = blow_down_time(1e-6, volume, 4e5, 1.9e5, outside, room) +
                         blow_down_time(1e-6, volume, 1.9e5, 1.2e5, outside, room);
    EXPECT_NEAR(parts, whole, 1e-9 * whole);
}

TEST(Leak, AreaFromAFlowPassesThatFlow) {
    const double area = leak_area_from_flow(0.003, 3e5, outside, room);
    EXPECT_NEAR(orifice_flow(area, 3e5, outside, room, gas::dry_air().molar_mass()), 0.003, 1e-15);
}

}  // namespace
}  // namespace oxfade::flow
