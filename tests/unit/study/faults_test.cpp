#include "oxfade/study/faults.hpp"

#include "oxfade/plant/leak_area.hpp"
#include "oxfade/study/fit.hpp"
#include "support/plants.hpp"

namespace oxfade::study {
namespace {

using sample::on;
using sample::vessel;

/// feed - main - far, and near on feed; vents at far and near; leaks spread and at far.
plant::Plant branched() {
    plant::Riser riser = sample::full_riser(
        {vessel("feed", 1.0), vessel("main", 2.0), vessel("far", 3.0), on(vessel("near", 4.0), "feed")});
    riser.vents = {sample::vent("far", 1e-3), sample::vent("near", 1e-3)};
    riser.leaks = {{std::nullopt, plant::Orifice{1e-3, 0.8}}, sample::hole("far", 2e-3)};
    return sample::plant_of(riser, sample::generator(), sample::day);
}

TEST(Faults, ABranchIsCutOffWithAllBehindIt) {
    const plant::Plant cut = without_branch(branched(), 0, 1);
    const plant::Riser& riser = cut.risers[0];
    ASSERT_EQ(riser.pipes.size(), 2u);
    EXPECT_EQ(riser.pipes[1].name, "near");
    EXPECT_EQ(riser.pipes[1].from, "feed");
    ASSERT_EQ(riser.vents.size(), 1u);
    EXPECT_EQ(riser.vents[0].at, "near");
    ASSERT_EQ(riser.leaks.size(), 1u);
    // Of the leak spread over 10 m3 the part on the 5 m3 that are left.
    const plant::Orifice spread{1e-3, 0.8};
    EXPECT_NEAR(leak_area(riser, cut.site), 0.5 * spread.effective_area(), 1e-15);
    EXPECT_NO_THROW(plant::require_valid(cut));
}

TEST(Faults, ALeakByTestStaysTheHoleItWas) {
    plant::Plant plant = branched();
    plant.risers[0].leaks = {{std::nullopt, plant::LeakByTest{sample::psi, sample::day, sample::psig(40.0)}}};
    const double area = plant::leak_area(plant.risers[0].leaks[0], 10.0, plant.site);
    EXPECT_NEAR(leak_area(with_leaks_as_holes(plant).risers[0], plant.site), area, 1e-15);
    EXPECT_NEAR(leak_area(without_branch(plant, 0, 3).risers[0], plant.site), 0.6 * area, 1e-15);
}

TEST(Faults, ALoopKeepsABranchOpen) {
    plant::Plant plant = branched();
    for (plant::Pipe& pipe : plant.risers[0].pipes) pipe.shape = plant::Cylinder{0.1, 10.0};
    EXPECT_THAT(branches_of(plant.risers[0]), testing::ElementsAre(1, 2, 3));
    plant.risers[0].links = {{"far", "near"}};
    EXPECT_TRUE(branches_of(plant.risers[0]).empty());
    EXPECT_THROW(without_branch(plant, 0, 1), InputError);
    plant.risers[0].links = {{"main", "far"}};
    EXPECT_THAT(branches_of(plant.risers[0]), testing::ElementsAre(1, 3));
}

TEST(Faults, EachChangesWhatItSays) {
    const plant::Plant plant = branched();
    const auto& source = std::get<plant::Generator>(plant.source);
    const plant::Plant leaky = with_fault(plant, {FaultKind::leak, 0, 0}, 1e-6);
    EXPECT_NEAR(leak_area(leaky.risers[0], plant.site) - leak_area(plant.risers[0], plant.site), 1e-6, 1e-15);
    const plant::Plant blocked = with_fault(plant, {FaultKind::blocked_vent, 0, 1}, 0.25);
    EXPECT_NEAR(blocked.risers[0].vents[1].orifice.diameter, 0.5e-3, 1e-12);
    EXPECT_EQ(blocked.risers[0].vents[0].orifice.diameter, 1e-3);
    const plant::Plant impure = with_fault(plant, {FaultKind::low_purity, 0, 0}, 0.05);
    EXPECT_NEAR(plant::product_purity(impure.source), 0.95, 1e-12);
    const plant::Plant weak = with_fault(plant, {FaultKind::small_source, 0, 0}, 0.5);
    EXPECT_NEAR(std::get<plant::Generator>(weak.source).air_flow, 0.5 * source.air_flow, 1e-12);
    const plant::Plant choked = with_fault(plant, {FaultKind::small_supply, 0, 0}, 0.25);
    EXPECT_NEAR(std::get<plant::Regulator>(choked.risers[0].supply).orifice.diameter, 0.005, 1e-12);
}

/// With water before main and before near.
plant::Plant wet() {
    plant::Plant plant = branched();
    plant.risers[0].low_points = {{"first dip", "main", 2e-3, plant::WaterRise{0.2}},
                                  {"second dip", "near", 1e-3, plant::WaterRise{0.1}}};
    return plant;
}

TEST(Faults, ALowPointMayHoldNoWater) {
    const plant::Plant dry = with_fault(wet(), {FaultKind::dry_low_point, 0, 0}, 1.0);
    ASSERT_EQ(dry.risers[0].low_points.size(), 1u);
    EXPECT_EQ(dry.risers[0].low_points[0].name, "second dip");
    EXPECT_EQ(dry.risers[0].pipes.size(), 4u);
    EXPECT_THROW(with_fault(wet(), {FaultKind::dry_low_point, 0, 2}, 1.0), InputError);
    plant::Plant drained = wet();
    drained.duration = 100.0;
    drained.actions = {{1.0, plant::Deed::drain, "riser", "first dip", "", 0.0},
                       {2.0, plant::Deed::drain, "riser", "second dip", "", 0.0}};
    const plant::Plant left = with_fault(drained, {FaultKind::dry_low_point, 0, 0}, 1.0);
    ASSERT_EQ(left.actions.size(), 1u);
    EXPECT_EQ(left.actions[0].what, "second dip");
}

TEST(Faults, AClosedLowPointCutsOffWhatIsBehindIt) {
    const plant::Plant cut = with_fault(wet(), {FaultKind::closed_branch, 0, 1}, 1.0);
    EXPECT_EQ(cut.risers[0].pipes.size(), 2u);
    ASSERT_EQ(cut.risers[0].low_points.size(), 1u);
    EXPECT_EQ(cut.risers[0].low_points[0].name, "second dip");
    EXPECT_NO_THROW(plant::require_valid(cut));
}

TEST(Faults, WhatIsDoneToPartsThatAreCutOffIsForgotten) {
    plant::Plant plant = wet();
    plant.duration = 100.0;
    plant.risers[0].leaks = {{std::nullopt, plant::LeakByTest{1e3, 86400.0, 3.5e5}}};
    const std::string near = plant.risers[0].vents[0].name, far = plant.risers[0].vents[1].name;
    for (const std::string& vent : {near, far}) {
        plant.actions.push_back({1.0, plant::Deed::shut, "riser", vent, "", 0.0});
        plant.actions.push_back({2.0, plant::Deed::open, "riser", vent, "", 0.0});
        plant.actions.push_back(
            {3.0, plant::Deed::set, "", "", "riser.riser.vent.'" + vent + "'.diameter", 2e-3});
    }
    plant.actions.push_back({4.0, plant::Deed::shut, "riser", "supply", "", 0.0});
    plant.actions.push_back({5.0, plant::Deed::set, "", "", "riser.riser.leak.0.loss", 2e3});
    plant.actions.push_back({6.0, plant::Deed::trip, "riser", "", "", 0.0});
    ASSERT_NO_THROW(plant::require_valid(plant));
    // Behind `main` lie pipe and vent of `far`; leaks become holes, whose loss is no setting.
    const plant::Plant cut = with_fault(plant, {FaultKind::closed_branch, 0, 1}, 1.0);
    EXPECT_NO_THROW(plant::require_valid(cut));
    EXPECT_EQ(cut.actions.size(), 3 * cut.risers[0].vents.size() + 2);
    EXPECT_LT(cut.risers[0].vents.size(), 2u);
}

TEST(Faults, LowPointsAreCalledByTheirNames) {
    EXPECT_EQ(describe(wet(), {FaultKind::closed_branch, 0, 1}),
              "'first dip' of 'riser' stays closed by water");
    EXPECT_EQ(describe(wet(), {FaultKind::closed_branch, 0, 2}),
              "a dip before 'far' of 'riser' is closed by water");
    EXPECT_EQ(describe(wet(), {FaultKind::dry_low_point, 0, 1}), "'second dip' of 'riser' holds no water");
}

TEST(Faults, EachLowPointIsTriedClosedAndDry) {
    Reading reading;
    reading.riser = "riser";
    int closed = 0, dry = 0;
    for (const Fault& fault : possible_faults(wet(), {reading})) {
        closed += fault.kind == FaultKind::closed_branch ? 1 : 0;
        dry += fault.kind == FaultKind::dry_low_point ? 1 : 0;
    }
    EXPECT_EQ(closed, 3);
    EXPECT_EQ(dry, 2);
}

TEST(Faults, WhatThePlantCannotHaveIsRefused) {
    plant::Plant plant = branched();
    EXPECT_THROW(with_fault(plant, {FaultKind::blocked_vent, 0, 2}, 0.5), InputError);
    EXPECT_THROW(with_fault(plant, {FaultKind::leak, 1, 0}, 1e-6), InputError);
    EXPECT_THROW(with_fault(plant, {FaultKind::closed_branch, 0, 0}, 1.0), InputError);
    plant.source = sample::cylinders(0.98);
    EXPECT_THROW(with_fault(plant, {FaultKind::small_source, 0, 0}, 0.5), InputError);
}

}  // namespace
}  // namespace oxfade::study
