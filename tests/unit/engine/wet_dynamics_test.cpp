#include "engine/wet_dynamics.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "engine/linearisation.hpp"
#include "support/wet_plants.hpp"

namespace oxfade::engine {
namespace {

using namespace sample;

/// Three zones: main, far behind a dip of slopes, end behind a trap in ordinary pipe.
plant::Plant three_zones() {
    plant::Riser riser =
        full_riser({tube("main", 0.05, 80.0, 2), tube("far", 0.05, 60.0, 3), tube("end", 0.05, 40.0)});
    riser.low_points = {dip("far", 0.02, 0.01, 0.02), trap("end", 0.2)};
    riser.vents = {vent("end", 0.5e-3)};
    riser.leaks = {hole("main", 0.3e-3), hole("far", 0.2e-3)};
    plant::Plant plant = plant_of(riser, cylinders(0.99), day);
    plant.mixing = {true, true};
    return plant;
}

struct Wet {
    explicit Wet(const plant::Plant& plant = three_zones())
        : net(build_network(plant)),
          dynamics(net),
          x(dynamics.initial_state()),
          rates(x),
          flows(dynamics.make_flows()) {
        Modes modes = dynamics.modes();
        modes.vents[0].open = true;
        modes.risers[0] = {Stage::in_service, SupplyMode::wide};
        modes.seals = {{Seal::closed, 0.0}, {Seal::behind, 0.0}};
        dynamics.set_modes(modes);
    }
    void evaluate() { dynamics.rates(0.0, x, rates, flows); }
    /// All water there is: liquid, films, vapour, and what has gone.
    double water_in(const State& v) const {
        const Layout& layout = dynamics.layout();
        double sum = v[layout.gone(0, Layout::vapour)];
        for (int s = 0; s < layout.spots; ++s) sum += v[layout.water(s)];
        for (int i = 0; i < layout.nodes; ++i) sum += v[layout.film(i)] + v[layout.trace(Layout::vapour, i)];
        return sum;
    }
    double trace_in(const State& v, Layout::Trace which) const {
        const Layout& layout = dynamics.layout();
        double sum = v[layout.gone(0, which)];
        for (int s = 0; s < layout.spots; ++s) sum += v[layout.dissolved(s, which)];
        for (int i = 0; i < layout.nodes; ++i) sum += v[layout.trace(which, i)];
        return sum;
    }
    /// All gas, less what has come out of water.
    double plain_gas_in(const State& v) const {
        const Layout& layout = dynamics.layout();
        double sum =
            v[Layout::source] + v[layout.total(0, Layout::vented)] + v[layout.total(0, Layout::leaked)];
        for (int z = 0; z < net.zones; ++z) sum += v[2 + z];
        for (const auto which : {Layout::oxygen, Layout::nitrogen, Layout::vapour}) {
            sum -= v[layout.gone(0, which)];
            for (int i = 0; i < layout.nodes; ++i) sum -= v[layout.trace(which, i)];
        }
        return sum;
    }
    Network net;
    WetDynamics dynamics;
    State x, rates;
    Flows flows;
};

TEST(WetDynamics, LowPointsCutZonesAndTakeRoom) {
    const Wet wet;
    EXPECT_EQ(wet.net.zones, 3);
    EXPECT_EQ(wet.dynamics.group(1), 1);
    EXPECT_EQ(wet.dynamics.group(2), 1);
    double volume = 0.0;
    for (int z = 0; z < 3; ++z) volume += wet.dynamics.zone_volume(z);
    EXPECT_NEAR(volume, three_zones().risers[0].volume() - 0.02 - 2e-3, 1e-12);
}

TEST(WetDynamics, ZonesThatMoveTogetherKeepTheirDifference) {
    Wet wet;
    wet.evaluate();
    const auto& rate = wet.flows.water.pressure_rate;
    EXPECT_NEAR(rate[1], rate[2], 1e-9 * std::abs(rate[1]));
    EXPECT_EQ(wet.flows.link[2], 0.0);  // the closed dip
    EXPECT_GT(wet.flows.link[5], 0.0);  // bubbling towards the vent
}

TEST(WetDynamics, RatesKeepEveryBalance) {
    Wet wet;
    wet.x[wet.dynamics.layout().trace(Layout::vapour, 3)] = 0.5;
    wet.x[wet.dynamics.layout().film(1)] = 0.01;
    wet.evaluate();
    const double scale = wet.rates.cwiseAbs().maxCoeff();
    EXPECT_NEAR(wet.water_in(wet.rates), 0.0, 1e-14 * scale);
    EXPECT_NEAR(wet.trace_in(wet.rates, Layout::oxygen), 0.0, 1e-14 * scale);
    EXPECT_NEAR(wet.trace_in(wet.rates, Layout::nitrogen), 0.0, 1e-14 * scale);
    EXPECT_NEAR(wet.plain_gas_in(wet.rates), 0.0, 1e-12 * scale);
}

TEST(WetDynamics, MoistGasCondensesAndDriesAgain) {
    Wet wet;
    const Layout& layout = wet.dynamics.layout();
    wet.x[layout.trace(Layout::vapour, 4)] = 10.0;  // far above saturation
    wet.evaluate();
    EXPECT_GT(wet.rates[layout.film(4)], 0.0);
    wet.x[layout.trace(Layout::vapour, 4)] = 0.0;
    wet.x[layout.film(4)] = 0.1;
    wet.evaluate();
    EXPECT_LT(wet.rates[layout.film(4)], 0.0);
}

TEST(WetDynamics, BeginsInBalanceWithItsGas) {
    Wet wet(three_zones());
    wet.evaluate();
    const Layout& layout = wet.dynamics.layout();
    const double dissolved = wet.x[layout.dissolved(0, Layout::oxygen)];
    EXPECT_GT(dissolved, 0.0);
    EXPECT_NEAR(wet.rates[layout.dissolved(0, Layout::oxygen)], 0.0, 1e-9 * dissolved);
}

/// Solving with the approximate Jacobian must keep what the rates keep: 1/shift of the right-hand side's sum.
TEST(WetLinearisation, KeepsEveryBalance) {
    for (const SupplyMode supply : {SupplyMode::wide, SupplyMode::hold, SupplyMode::shut}) {
        Wet wet;
        Modes modes = wet.dynamics.modes();
        modes.risers[0].supply = supply;
        wet.dynamics.set_modes(modes);
        Dice dice(7);
        wet.x[wet.dynamics.layout().film(1)] = 0.01;
        wet.evaluate();
        const auto linear = wet.dynamics.linearise();
        const double shift = 0.01;
        linear->prepare(wet.x, wet.flows, shift);
        State rhs(wet.x.size()), u(wet.x.size());
        for (int i = 0; i < rhs.size(); ++i) rhs[i] = dice.between(-1.0, 1.0);
        linear->solve(rhs, u);
        EXPECT_NEAR(shift * wet.water_in(u), wet.water_in(rhs), 1e-11);
        EXPECT_NEAR(shift * wet.trace_in(u, Layout::oxygen), wet.trace_in(rhs, Layout::oxygen), 1e-11);
        EXPECT_NEAR(shift * wet.trace_in(u, Layout::nitrogen), wet.trace_in(rhs, Layout::nitrogen), 1e-11);
        EXPECT_NEAR(shift * wet.plain_gas_in(u), wet.plain_gas_in(rhs), 1e-10);
    }
}

TEST(WetDynamics, LevelsWhatAModeLeavesApart) {
    Wet wet;
    Modes modes = wet.dynamics.modes();
    modes.seals = {{Seal::open, 0.0}, {Seal::behind, 1500.0}};
    wet.x[2] *= 1.02;
    wet.dynamics.set_modes(modes);
    const double gas = wet.plain_gas_in(wet.x);
    double air = 0.0, after = 0.0;
    for (int i = 0; i < wet.net.nodes(); ++i) air += wet.x[wet.dynamics.layout().air(i)];
    wet.dynamics.level(wet.flows, wet.x);
    for (int i = 0; i < wet.net.nodes(); ++i) after += wet.x[wet.dynamics.layout().air(i)];
    const auto pressure = [&](int z) { return wet.x[2 + z] * wet.dynamics.zone_pressure_per_mole(z); };
    EXPECT_NEAR(pressure(0), pressure(1), 1e-3);
    EXPECT_NEAR(pressure(1) - pressure(2), 1500.0, 1e-3);
    EXPECT_NEAR(wet.plain_gas_in(wet.x), gas, 1e-9 * gas);
    EXPECT_NEAR(after, air, 1e-12 * air);
}

}  // namespace
}  // namespace oxfade::engine
