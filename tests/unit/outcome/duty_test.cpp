#include "oxfade/outcome/duty.hpp"

#include <cmath>

#include "oxfade/engine/predict.hpp"
#include "oxfade/plant/leak_area.hpp"
#include "support/hole.hpp"
#include "support/plants.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;
using outcome::duty_of;

double product_flow(double diameter) {
    return choked_flow(effective_area(diameter), set_pressure, product_mass(0.98));
}

TEST(Duty, AddsUpVentsAndLeaksAtSetPressure) {
    plant::Plant plant = purged_vessel(0.98, 100.0);
    plant.risers[0].vents.push_back(vent("main", 2e-3, plant::OpenTimed{100.0, 25.0}));
    plant.risers[0].vents.push_back(vent("main", 3e-3, plant::OpenBetween{4e5, 3e5}));
    plant.risers[0].leaks.push_back(hole("main", 0.5e-3));
    const auto duty = duty_of(plant);
    const auto& riser = duty.risers[0];
    EXPECT_NEAR(riser.vents_open, product_flow(1e-3) + product_flow(2e-3), 1e-12);
    EXPECT_NEAR(riser.vents_average, product_flow(1e-3) + 0.25 * product_flow(2e-3), 1e-12);
    EXPECT_NEAR(riser.leaks, product_flow(0.5e-3), 1e-12);
    EXPECT_NEAR(duty.demand, riser.vents_average + riser.leaks, 1e-15);
    EXPECT_FALSE(duty.separator);
}

TEST(Duty, EqualPipesCountAsOftenAsTheyAreThere) {
    plant::Plant plant = purged_vessel(0.98, 100.0);
    plant::Pipe line{"line", "main", plant::Cylinder{0.04, 3.0}, {}, {}, {}, 6, {}};
    plant.risers[0].pipes.push_back(line);
    plant.risers[0].vents.push_back(vent("line", 0.5e-3));
    plant.risers[0].leaks.push_back(hole("line", 0.2e-3));
    const auto riser = duty_of(plant).risers[0];
    EXPECT_NEAR(riser.vents_open, product_flow(1e-3) + 6.0 * product_flow(0.5e-3), 1e-12);
    EXPECT_NEAR(riser.leaks, 6.0 * product_flow(0.2e-3), 1e-12);
}

TEST(Duty, SupplyCapacityIsReckonedAtTheLowestUsualPressure) {
    plant::Plant plant = purged_vessel(0.98, 100.0);
    plant.source = generator(0.98);
    const auto duty = duty_of(plant);
    const double expected = hole_flow(effective_area(0.01), 7e5, set_pressure, 293.15, product_mass(0.98));
    EXPECT_NEAR(duty.risers[0].supply_capacity / expected, 1.0, 1e-9);
    EXPECT_NEAR(*duty.separator, plant::standard_moles({}, 2e-3), 1e-12);
}

TEST(Duty, FillNeedsTheGasBetweenInitialAndSetPressure) {
    plant::Plant plant = purged_vessel(0.98, 100.0);
    EXPECT_EQ(duty_of(plant).risers[0].fill_need, 0.0);
    plant.risers[0].initial_pressure.reset();
    EXPECT_NEAR(duty_of(plant).risers[0].fill_need, moles_of(set_pressure - 101325.0, 2.0), 1e-9);
}

TEST(Duty, FillEstimateIsCloseToTheRun) {
    plant::Plant plant = two_pipe_riser(0.03 * inch);
    std::get<plant::Generator>(plant.source).receiver.initial_pressure = psig(105.0);
    plant.duration = 5000.0;
    const auto out = engine::predict(plant);
    EXPECT_NEAR(duty_of(plant).risers[0].fill_estimate / out.risers[0].fill_time.value_or(0.0), 1.0, 0.25);
    plant = purged_vessel(0.98, 5000.0);
    plant.risers[0].initial_pressure.reset();
    plant.risers[0].fill = {3e-3, 0.8};
    plant.risers[0].supply = plant::Regulator{{0.1e-3, 0.8}};
    EXPECT_NEAR(
        duty_of(plant).risers[0].fill_estimate / engine::predict(plant).risers[0].fill_time.value_or(0.0),
        1.0, 0.01);
}

TEST(AcceptanceLoss, UndoesALeakGivenByTheTest) {
    const plant::Site site;
    for (const double loss : {0.2, 1.5, 5.0, 20.0, 35.0}) {
        const plant::Leak leak{std::nullopt, plant::LeakByTest{loss * psi, day, psig(40.0)}};
        const double area = plant::leak_area(leak, 3.0, site);
        EXPECT_NEAR(outcome::acceptance_loss(area, 3.0, site), loss * psi, 2.0) << loss;
    }
}

TEST(AcceptanceLoss, IsAllOfThePressureThroughABigHole) {
    EXPECT_NEAR(outcome::acceptance_loss(1e-3, 1.0, {}), 40.0 * psi, 1.0);
}

TEST(AcceptanceLoss, GoesByTheAreaToVolumeRatioOnly) {
    EXPECT_NEAR(outcome::acceptance_loss(1e-8, 1.0, {}), outcome::acceptance_loss(5e-8, 5.0, {}), 1e-3);
}

}  // namespace
