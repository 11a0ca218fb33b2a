// Pressure-cycle purging of one well-mixed compartment: each rise from P_L to P_H dilutes by P_L/P_H.
#include <cmath>

#include "support/hole.hpp"
#include "support/plants.hpp"
#include "support/run.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

constexpr double low = 2.5e5, high = 4e5, volume = 0.5;
constexpr double fill_diameter = 4e-3, supply_diameter = 2e-3, vent_diameter = 3e-3;

/// Starts with air at the low pressure, so that the fill is the first rise.
plant::Plant cycled_vessel(double purity) {
    plant::Riser riser = full_riser({vessel("main", volume)});
    riser.initial_pressure = low;
    riser.fill = {fill_diameter, 0.8};
    riser.supply = plant::PressureSwitch{{supply_diameter, 0.8}, low, high};
    riser.vents.push_back(vent("main", vent_diameter, plant::OpenBetween{high, low}));
    return plant_of(std::move(riser), cylinders(purity), 1.0);
}

double rise_time(double area, double purity) {
    return moles_of(high - low, volume) / choked_flow(area, 20e5, product_mass(purity));
}

/// Fall through the vent with gas of air fraction z; choked all the way.
double fall_time(double purity, double z) {
    const double mass = product_mass(purity) + z * (air_mass() - product_mass(purity));
    const double flow = choked_flow(effective_area(vent_diameter), high, mass);
    return moles_of(high, volume) / flow * std::log(high / low);
}

class PressureCycles : public ::testing::TestWithParam<int> {};

TEST_P(PressureCycles, EachRiseDilutesByThePressureRatio) {
    const int cycles = GetParam();
    const double purity = 0.97;
    plant::Plant plant = cycled_vessel(purity);
    double time = rise_time(effective_area(fill_diameter), purity);
    for (int j = 1; j < cycles; ++j) {
        time +=
            fall_time(purity, std::pow(low / high, j)) + rise_time(effective_area(supply_diameter), purity);
    }
    plant.duration = time + 0.5 * fall_time(purity, std::pow(low / high, cycles));
    const auto out = run(plant, tight());
    EXPECT_NEAR(final_air_fraction(out) / std::pow(low / high, cycles), 1.0, 1e-6);
    // Half way down in time is half way in the logarithm: all events before were met in time.
    EXPECT_NEAR(out.risers[0].final_pressure / std::sqrt(low * high), 1.0, 1e-5);
    EXPECT_NEAR(out.risers[0].highest_in_service, high, 1e-9 * high);
}

INSTANTIATE_TEST_SUITE_P(Counts, PressureCycles, ::testing::Values(1, 2, 3, 5, 10, 20));

TEST(PressureCycles, SupplyIsShutWhileTheVentIsOpen) {
    const double purity = 0.97;
    plant::Plant plant = cycled_vessel(purity);
    plant.duration = 3000.0;
    const auto out = run(plant);
    // Everything supplied after the fill came in whole rises, but for the last one under way.
    const double rise = moles_of(high - low, volume);
    const double vented_rises = out.risers[0].vented / rise;
    const double supplied_rises = out.risers[0].supplied / rise;
    EXPECT_TRUE(std::abs(vented_rises - std::round(vented_rises)) < 1e-5 ||
                std::abs(supplied_rises - std::round(supplied_rises)) < 1e-5)
        << vented_rises << ' ' << supplied_rises;
    EXPECT_NEAR(out.risers[0].lowest_in_service, low, 1e-6 * low);
    EXPECT_GT(out.effort.events, 10);
}

}  // namespace
