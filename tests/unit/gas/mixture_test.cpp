#include "oxfade/gas/mixture.hpp"

#include <cmath>

#include "oxfade/gas/transport.hpp"
#include "oxfade/plant/site.hpp"

namespace {

using namespace oxfade;
using gas::Species;

TEST(Mixture, FractionsOfAirAndProductAddUpToOne) {
    for (const auto& mixture :
         {gas::dry_air(), gas::nitrogen_of_purity(0.98), gas::nitrogen_of_purity(0.0)}) {
        double sum = 0.0;
        for (const double fraction : mixture.fraction) sum += fraction;
        EXPECT_NEAR(sum, 1.0, 1e-15);
    }
}

TEST(Mixture, PurityCountsArgonAsInert) {
    EXPECT_NEAR(gas::dry_air().purity(), 0.790524, 1e-12);
    EXPECT_NEAR(gas::nitrogen_of_purity(0.985).purity(), 0.985, 1e-15);
    EXPECT_NEAR(gas::nitrogen_of_purity(0.985)[Species::oxygen], 0.015, 1e-15);
    EXPECT_EQ(gas::nitrogen_of_purity(0.985)[Species::argon], 0.0);
}

TEST(Mixture, MolarMassIsTheMean) {
    EXPECT_NEAR(gas::dry_air().molar_mass(),
                0.78084 * 28.0134e-3 + 0.209476 * 31.9988e-3 + 0.009684 * 39.948e-3, 1e-15);
    EXPECT_NEAR(gas::nitrogen_of_purity(0.5).molar_mass(), 0.5 * (28.0134e-3 + 31.9988e-3), 1e-15);
}

TEST(Moles, FollowTheIdealGas) {
    // 1 mol fills 24.055 L at 20 degC and one atmosphere.
    EXPECT_NEAR(gas::moles(101325.0, 24.055e-3, 293.15), 1.0, 1e-4);
    EXPECT_NEAR(gas::moles(2e5, 3.0, 300.0), 2.0 * gas::moles(1e5, 3.0, 300.0), 1e-12);
}

TEST(StandardVolume, GoesThereAndBack) {
    const plant::Reference reference{1e5, 273.15};
    EXPECT_NEAR(plant::standard_volume(reference, 1.0), 22.711e-3, 1e-6);
    EXPECT_NEAR(plant::standard_moles(reference, plant::standard_volume(reference, 7.5)), 7.5, 1e-14);
}

TEST(Viscosity, OfAPureMixtureIsThatOfItsSpecies) {
    const gas::Mixture oxygen{{0.0, 1.0, 0.0}};
    EXPECT_NEAR(gas::viscosity(oxygen, 300.0) / gas::viscosity(Species::oxygen, 300.0), 1.0, 1e-14);
}

TEST(Viscosity, OfAirLiesBetweenItsParts) {
    const double air = gas::viscosity(gas::dry_air(), 293.15);
    EXPECT_GT(air, gas::viscosity(Species::nitrogen, 293.15));
    EXPECT_LT(air, gas::viscosity(Species::oxygen, 293.15));
}

TEST(Diffusivity, RisesWithTemperatureAsItsPower) {
    EXPECT_NEAR(gas::diffusivity_times_pressure(600.0) / gas::diffusivity_times_pressure(300.0),
                std::pow(2.0, 1.724), 1e-12);
}

}  // namespace
