// What water gives to the gas beside it and takes from it: closed forms for a well mixed vessel.
#include <cmath>

#include "engine/simulation.hpp"
#include "oxfade/flow/dip.hpp"
#include "oxfade/flow/water_exchange.hpp"
#include "oxfade/gas/dissolved.hpp"
#include "oxfade/gas/water.hpp"
#include "support/run.hpp"
#include "support/wet_plants.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

constexpr double temperature = 293.15, bore = 0.1, purity = 0.99;
constexpr flow::Dip geometry{bore, 0.01, 0.01};
constexpr double water = 0.01;  // m3, leaves most of the bore open

/// A run opened up, to see what is dissolved.
struct Opened {
    explicit Opened(const plant::Plant& plant, const engine::Options& options = tight(1e-9))
        : net(engine::build_network(plant)), simulation(plant, net, options) {
        simulation.run();
    }
    double dissolved(engine::Layout::Trace which) const {
        return simulation.state()[simulation.dynamics().layout().dissolved(0, which)];
    }
    double partial_pressure(gas::Species species, int node) const {
        const auto& wet = dynamic_cast<const engine::WetDynamics&>(simulation.dynamics());
        const double moles = species == gas::Species::oxygen ? wet.oxygen_moles(simulation.state(), node)
                                                             : wet.nitrogen_moles(simulation.state(), node);
        return moles * net.node_pressure_per_mole[static_cast<std::size_t>(node)];
    }
    engine::Network net;
    engine::Simulation simulation;
};

plant::Plant purged(double duration, double vent_diameter = 2e-3) {
    plant::Riser riser = full_riser({tube("main", bore, 30.0), tube("far", bore, 30.0)});
    riser.low_points = {dip("far", geometry.slope_before, geometry.slope_behind, water)};
    riser.vents = {vent("far", vent_diameter)};
    return plant_of(riser, cylinders(purity), duration);
}

TEST(Dissolving, EndsInBalanceWithTheGas) {
    const Opened run(purged(60.0 * day));
    const struct {
        gas::Species species;
        engine::Layout::Trace trace;
    } both[] = {{gas::Species::oxygen, engine::Layout::oxygen},
                {gas::Species::nitrogen, engine::Layout::nitrogen}};
    const auto& wet = dynamic_cast<const engine::WetDynamics&>(run.simulation.dynamics());
    const double left = wet.water_volume(run.simulation.state(), 0);
    EXPECT_LT(left, water);
    for (const auto& [species, trace] : both) {
        const double pressure = 0.5 * (run.partial_pressure(species, 0) + run.partial_pressure(species, 1));
        const double expected = gas::henry_constant(species, temperature) * pressure * left;
        EXPECT_NEAR(run.dissolved(trace), expected, 2e-3 * expected);
    }
}

/// Once the gas is clean the water's oxygen falls as an exponential: rate k A / V (eq. 16).
TEST(Dissolving, ApproachesItAtTheRateOfItsFilm) {
    const double early = 1.5 * hour, late = 3.5 * hour;
    const Opened first(purged(early, 3e-3)), second(purged(late, 3e-3)), last(purged(2.0 * day, 3e-3));
    const flow::DipWater stand = flow::water_in_dip(geometry, water);
    ASSERT_FALSE(stand.closed);
    const double rate = flow::still_water_coefficient * (stand.surface_before + stand.surface_behind) / water;
    const double end = last.dissolved(engine::Layout::oxygen);
    const double ratio =
        (second.dissolved(engine::Layout::oxygen) - end) / (first.dissolved(engine::Layout::oxygen) - end);
    EXPECT_NEAR(std::log(ratio), -rate * (late - early), 0.02 * rate * (late - early));
    EXPECT_GT(rate * (late - early), 0.3);
}

TEST(Vapour, ClosedVesselIsSaturatedInTheEnd) {
    plant::Plant plant = purged(20.0 * day);
    plant.risers[0].vents.clear();
    const auto out = run(plant);
    ASSERT_TRUE(out.risers[0].dew_point);
    EXPECT_NEAR(*out.risers[0].dew_point, temperature, 1e-3);
    EXPECT_NEAR(gas::saturation_pressure_over_water(*out.risers[0].dew_point), 2339.3,
                1.0);  // IAPWS-IF97, 20 degC
}

/// Steady: what evaporates leaves with the gas. Two vessels, water on the link: each takes half.
TEST(Vapour, SteadyDewPointOfAPurgedVessel) {
    const Opened run(purged(10.0 * day));
    const auto& layout = run.simulation.dynamics().layout();
    const auto& x = run.simulation.state();
    engine::Flows flows = run.simulation.dynamics().make_flows();
    engine::State rates(layout.size());
    run.simulation.dynamics().rates(0.0, x, rates, flows);
    const flow::DipWater stand = flow::water_in_dip(
        geometry, dynamic_cast<const engine::WetDynamics&>(run.simulation.dynamics()).water_volume(x, 0));
    const double h = flow::vapour_film_coefficient(bore, set_pressure, temperature);
    const double saturated = gas::saturation_pressure_over_water(temperature);
    // First vessel: h A (ps - p)/RT = F p/P, F what flows on; second: the same with what comes in.
    const double thermal = gas::gas_constant * temperature;
    const double on = flows.link[1] / set_pressure, out = flows.out[1] / set_pressure;
    const double first = h * stand.surface_before / thermal;
    const double second = h * stand.surface_behind / thermal;
    const double p1 = first * saturated / (first + on);
    const double p2 = (second * saturated + on * p1) / (second + out);
    const auto pressure = [&](int node) {
        return x[layout.trace(engine::Layout::vapour, node)] *
               run.net.node_pressure_per_mole[static_cast<std::size_t>(node)];
    };
    EXPECT_NEAR(pressure(0), p1, 1e-3 * p1);
    EXPECT_NEAR(pressure(1), p2, 1e-3 * p2);
    EXPECT_LT(p2, 0.98 * saturated);
}

TEST(Vapour, DriesTheWaterAway) {
    plant::Plant plant = purged(40.0 * day);
    plant.risers[0].low_points[0].water = 1e-3;
    const auto out = run(plant);
    EXPECT_LT(out.risers[0].low_points[0].water_at_end, 0.05e-3);
    EXPECT_LT(*out.risers[0].dew_point, 285.0);
}

TEST(Water, BothWaysToStepAgree) {
    plant::Plant plant = purged(2.0 * day);
    engine::Options other = tight(1e-7);
    other.method = engine::Method::dormand_prince;
    const auto implicit = run(plant, tight(1e-8)), explicit_pair = run(plant, other);
    for (std::size_t p = 0; p < 2; ++p) {
        EXPECT_NEAR(implicit.risers[0].pipes[p].oxygen[0], explicit_pair.risers[0].pipes[p].oxygen[0], 1e-7);
    }
    EXPECT_NEAR(*implicit.risers[0].dew_point, *explicit_pair.risers[0].dew_point, 1e-4);
    EXPECT_NEAR(implicit.risers[0].low_points[0].water_at_end,
                explicit_pair.risers[0].low_points[0].water_at_end, 1e-9);
}

TEST(Water, DefaultToleranceIsEnough) {
    const plant::Plant plant = purged(2.0 * day);
    const auto coarse = run(plant), fine = run(plant, tight(1e-9));
    ASSERT_TRUE(coarse.risers[0].time_to_target && fine.risers[0].time_to_target);
    EXPECT_NEAR(*coarse.risers[0].time_to_target, *fine.risers[0].time_to_target,
                1e-3 * *fine.risers[0].time_to_target);
    EXPECT_NEAR(*coarse.risers[0].dew_point, *fine.risers[0].dew_point, 0.01);
}

}  // namespace
