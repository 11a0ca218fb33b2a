// Exponential dilution of one compartment at held pressure.
#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <cmath>

#include "support/hole.hpp"
#include "support/plants.hpp"
#include "support/run.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

constexpr double vent_diameter = 1e-3;

double residence(const plant::Plant& plant, double mass) {
    const double flow = choked_flow(effective_area(vent_diameter), set_pressure, mass);
    return moles_of(set_pressure, plant.risers[0].volume()) / flow;
}

TEST(Dilution, IsExponentialWithAProductAsHeavyAsAir) {
    const double purity = purity_as_heavy_as_air();
    plant::Plant plant = purged_vessel(purity, 1.0);
    const double tau = residence(plant, air_mass());
    plant.duration = 6.0 * tau;
    engine::Options options = tight();
    options.history_points = 61;
    const auto out = run(plant, options);
    for (std::size_t k = 0; k < out.history.times.size(); ++k) {
        const double z = air_fraction(out.history.oxygen.at(k, 0), purity);
        EXPECT_NEAR(z, std::exp(-out.history.times[k] / tau), 1e-7) << "row " << k;
        EXPECT_DOUBLE_EQ(out.history.pressure.at(k, 0), set_pressure);
    }
    EXPECT_NEAR(final_air_fraction(out) / std::exp(-6.0), 1.0, 1e-6);
}

/// Time [s] in which the air fraction falls to z: the flow rises as the gas grows lighter.
double dilution_time(const plant::Plant& plant, double purity, double z) {
    const double light = product_mass(purity), heavy = air_mass();
    const double tau = residence(plant, 1.0);  // for unit molar mass
    const auto integrand = [&](double log_z) { return std::sqrt(light + std::exp(log_z) * (heavy - light)); };
    using Rule = boost::math::quadrature::gauss_kronrod<double, 31>;
    return tau * Rule::integrate(integrand, std::log(z), 0.0, 10, 1e-13);
}

class DilutionByPurity : public ::testing::TestWithParam<double> {};

TEST_P(DilutionByPurity, TimeToTargetIncludesTheMolarMass) {
    const double purity = GetParam();
    plant::Plant plant = purged_vessel(purity, 1.0);
    plant.target = purity - 0.01;
    const double expected = dilution_time(plant, purity, air_fraction(1.0 - plant.target, purity));
    plant.duration = 1.5 * expected;
    const auto out = run(plant, tight());
    ASSERT_TRUE(out.risers[0].time_to_target);
    EXPECT_NEAR(*out.risers[0].time_to_target / expected, 1.0, 1e-6);
    ASSERT_EQ(out.risers[0].at_target.size(), 1u);
    EXPECT_DOUBLE_EQ(out.risers[0].at_target[0].end, plant.duration);
}

TEST_P(DilutionByPurity, DefaultSettingsAreWithinAThousandth) {
    const double purity = GetParam();
    plant::Plant plant = purged_vessel(purity, 1.0);
    plant.target = purity - 0.01;
    const double expected = dilution_time(plant, purity, air_fraction(1.0 - plant.target, purity));
    plant.duration = 1.5 * expected;
    EXPECT_NEAR(run(plant).risers[0].time_to_target.value_or(0.0) / expected, 1.0, 1e-4);
}

INSTANTIATE_TEST_SUITE_P(Purities, DilutionByPurity, ::testing::Values(0.9, 0.95, 0.98, 0.99, 0.999, 1.0));

TEST(Dilution, ReceiverOfProductDilutesAsCylindersDo) {
    const double purity = 0.98;
    plant::Plant plant = purged_vessel(purity, 20000.0);
    const auto from_cylinders = run(plant, tight());
    plant::Generator source = generator(purity);
    source.receiver.volume = 1e6;
    plant.source = source;
    const auto from_receiver = run(plant, tight());
    EXPECT_NEAR(final_air_fraction(from_receiver) / final_air_fraction(from_cylinders), 1.0, 1e-7);
}

TEST(Dilution, VentAndLeakOfTheSameAreaDoTheSame) {
    plant::Plant plant = purged_vessel(0.98, 20000.0);
    const auto vented = run(plant, tight());
    plant.risers[0].vents.clear();
    plant.risers[0].leaks.push_back(hole("main", vent_diameter));
    const auto leaked = run(plant, tight());
    EXPECT_NEAR(final_air_fraction(leaked) / final_air_fraction(vented), 1.0, 1e-9);
    EXPECT_NEAR(leaked.risers[0].leaked / vented.risers[0].vented, 1.0, 1e-9);
    EXPECT_EQ(leaked.risers[0].vented, 0.0);
    EXPECT_EQ(vented.risers[0].leaked, 0.0);
}

}  // namespace
