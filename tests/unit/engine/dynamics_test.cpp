#include "engine/dynamics.hpp"

#include <cmath>

#include "support/flows.hpp"
#include "support/hole.hpp"
#include "support/mesh.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;
using engine::Layout;
using engine::SupplyMode;

plant::Plant chain() {
    plant::Riser riser = full_riser({vessel("near", 0.6), vessel("far", 0.4)});
    riser.vents.push_back(vent("far", 1e-3));
    riser.leaks.push_back(hole("near", 0.5e-3));
    return plant_of(std::move(riser), cylinders(0.98), 100.0);
}

TEST(Dynamics, InitialStateIsWhatThePlantSays) {
    plant::Plant plant = meshed_plant(0.98, generator(0.98));
    plant.risers[1].initial_gas = plant::InitialGas::source;
    plant.risers[1].initial_pressure.reset();
    const Opened open(plant);
    const Layout& layout = open.dynamics.layout();
    EXPECT_NEAR(open.x[Layout::source], moles_of(9e5, 0.3), 1e-9);
    EXPECT_EQ(open.x[Layout::source_air], 0.0);
    EXPECT_NEAR(open.x[layout.riser(0)], moles_of(set_pressure, plant.risers[0].volume()), 1e-9);
    EXPECT_NEAR(open.x[layout.riser(1)], moles_of(101325.0, 0.3), 1e-9);
    EXPECT_NEAR(open.dynamics.air_fraction(open.x, open.node(0, 3, 1)), 1.0, 1e-14);
    EXPECT_EQ(open.dynamics.air_fraction(open.x, open.node(1, 0)), 0.0);
}

TEST(Dynamics, WithTheVentsShutOnlyLeaksPass) {
    Opened open(chain());
    open.set(SupplyMode::shut, false);
    open.evaluate();
    const double leak = choked_flow(effective_area(0.5e-3), set_pressure, air_mass());
    EXPECT_NEAR(open.flows.risers[0].asked, leak, 1e-12);
    EXPECT_NEAR(open.flows.risers[0].gain, -leak, 1e-12);
    // The far vessel empties towards the near one, in proportion to its volume.
    EXPECT_NEAR(open.link(0, 1), -0.4 * leak, 1e-12);
}

TEST(Dynamics, HoldingSuppliesWhatLeaves) {
    Opened open(chain());
    open.set(SupplyMode::hold);
    open.evaluate();
    const double leak = choked_flow(effective_area(0.5e-3), set_pressure, air_mass()),
                 vent = choked_flow(effective_area(1e-3), set_pressure, air_mass());
    EXPECT_NEAR(open.flows.risers[0].supply, leak + vent, 1e-12);
    EXPECT_EQ(open.flows.risers[0].gain, 0.0);
    EXPECT_NEAR(open.link(0, 1), vent, 1e-12);
    const Layout& layout = open.dynamics.layout();
    EXPECT_NEAR(open.dxdt[layout.total(0, Layout::vented)], vent, 1e-12);
    EXPECT_NEAR(open.dxdt[layout.total(0, Layout::leaked)], leak, 1e-12);
}

TEST(Dynamics, WideOpenPassesWhatTheOrificeDoes) {
    Opened open(chain());
    open.set(SupplyMode::wide);
    open.evaluate();
    const double expected = choked_flow(effective_area(0.01), 20e5, product_mass(0.98));
    EXPECT_NEAR(open.flows.risers[0].supply / expected, 1.0, 1e-12);
    EXPECT_NEAR(open.dynamics.supply_capacity(open.x, 0, open.flows) / expected, 1.0, 1e-12);
    EXPECT_NEAR(open.dxdt[Layout::source] / expected, -1.0, 1e-12);
}

TEST(Dynamics, NoFlowBackIntoTheSource) {
    Opened open(chain());
    open.set(SupplyMode::wide);
    open.x[open.dynamics.layout().riser(0)] *= 10.0;
    open.evaluate();
    EXPECT_EQ(open.flows.risers[0].supply, 0.0);
}

TEST(Dynamics, BelowTheOutsidePressureAirComesIn) {
    Opened open(chain());
    open.set(SupplyMode::shut);
    const Layout& layout = open.dynamics.layout();
    open.x[layout.riser(0)] *= 0.5e5 / set_pressure;
    for (int i = 0; i < 2; ++i) open.x[layout.air(i)] = 0.0;
    open.evaluate();
    const double area = effective_area(1e-3) + effective_area(0.5e-3);
    const double inflow = choked_flow(area, 101325.0, air_mass());
    EXPECT_NEAR(open.dxdt[layout.riser(0)] / inflow, 1.0, 1e-12);
    EXPECT_NEAR((open.dxdt[layout.air(0)] + open.dxdt[layout.air(1)]) / inflow, 1.0, 1e-12);
}

TEST(Dynamics, TheFillPassageAloneIsOpenDuringTheFill) {
    Opened open(chain());
    engine::Modes modes = open.dynamics.modes();
    modes.risers[0] = {engine::Stage::filling, SupplyMode::wide};
    open.dynamics.set_modes(modes);
    EXPECT_NEAR(open.dynamics.passage_area(0), effective_area(0.01), 1e-15);
    modes.risers[0].supply = SupplyMode::shut;
    open.dynamics.set_modes(modes);
    EXPECT_NEAR(open.dynamics.passage_area(0), effective_area(0.01), 1e-15);
}

TEST(Modes, ReadWell) {
    engine::Modes modes;
    modes.machine = engine::Machine::air;
    modes.risers = {{engine::Stage::in_service, SupplyMode::hold}, {engine::Stage::waiting, {}}};
    EXPECT_EQ(engine::describe(modes, {"A", "B"}),
              "source on air; riser 'A' in service, supply holding; riser 'B' waiting, supply shut");
    for (const auto m : {engine::Machine::off, engine::Machine::nitrogen, engine::Machine::air,
                         engine::Machine::delivering, engine::Machine::empty}) {
        EXPECT_STRNE(engine::to_string(m), "?");
    }
    EXPECT_STREQ(engine::to_string(engine::Stage::filling), "filling");
    EXPECT_STREQ(engine::to_string(SupplyMode::wide), "wide open");
}

}  // namespace
