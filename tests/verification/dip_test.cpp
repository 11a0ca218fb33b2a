// Water in a dip, against volumes found by cutting both legs into cells and looking which of them are wet.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "oxfade/flow/dip.hpp"

namespace oxfade::flow {
namespace {

/// Volume and free surface of one leg below a level, by the midpoint rule over slices along the leg and
/// strips across the bore; nothing is taken from the closed forms under test.
struct Counted {
    double volume = 0.0, surface = 0.0, wetted = 0.0;
};

Counted count(double bore, double slope, double level) {
    constexpr int slices = 1500, strips = 400;
    Counted out;
    const double length = level / slope, dx = length / slices, r = 0.5 * bore;
    for (int i = 0; i < slices; ++i) {
        const double depth = level - slope * (i + 0.5) * dx;
        for (int k = 0; k < strips; ++k) {
            const double angle =
                std::numbers::pi * (k + 0.5) / strips;  // of a strip of wall, from the bottom
            const double y = r * (1.0 - std::cos(angle));
            if (y > depth) break;
            const double ring = std::numbers::pi / strips * r;
            out.wetted += 2.0 * ring * dx;
            out.volume += 2.0 * r * std::sin(angle) * ring * std::sin(angle) * dx;
        }
        if (depth < bore) out.surface += 2.0 * std::sqrt(depth * (bore - depth)) * dx;
    }
    return out;
}

class DipByCounting : public testing::TestWithParam<double> {};

TEST_P(DipByCounting, VolumeSurfaceAndWall) {
    const Dip dip{0.0525, 1.0 / 120.0, 2.0 / 120.0};
    const DipWater water = water_in_dip(dip, GetParam() * closing_volume(dip));
    const Counted before = count(dip.bore, dip.slope_before, water.depth);
    const Counted behind = count(dip.bore, dip.slope_behind, water.depth);
    EXPECT_NEAR(before.volume + behind.volume, GetParam() * closing_volume(dip), 3e-3 * closing_volume(dip));
    EXPECT_NEAR(before.surface, water.surface_before, 1e-3 * water.surface_before + 1e-6);
    EXPECT_NEAR(behind.surface, water.surface_behind, 1e-3 * water.surface_behind + 1e-6);
    EXPECT_NEAR(before.wetted + behind.wetted, water.wetted_steel, 3e-3 * water.wetted_steel);
    EXPECT_EQ(water.closed, GetParam() >= 1.0);
}

/// Pushed until the gas of one leg is at the crown: the same water, counted on both sides.
TEST_P(DipByCounting, PushedUp) {
    const Dip dip{0.0525, 1.0 / 120.0, 2.0 / 120.0};
    const double volume = GetParam() * closing_volume(dip);
    const DipWater water = water_in_dip(dip, volume);
    if (!water.closed) {
        EXPECT_EQ(water.rise_behind, 0.0);
        return;
    }
    const double forward = count(dip.bore, dip.slope_before, dip.bore).volume +
                           count(dip.bore, dip.slope_behind, dip.bore + water.rise_behind).volume;
    const double back = count(dip.bore, dip.slope_before, dip.bore + water.rise_before).volume +
                        count(dip.bore, dip.slope_behind, dip.bore).volume;
    EXPECT_NEAR(forward, volume, 3e-3 * volume);
    EXPECT_NEAR(back, volume, 3e-3 * volume);
}

INSTANTIATE_TEST_SUITE_P(Volumes, DipByCounting, testing::Values(0.02, 0.2, 0.5, 0.9, 0.99, 1.0, 1.5, 4.0));

}  // namespace
}  // namespace oxfade::flow
