// Friction-resolved links (model.md 5.4): steady flow against the closed form, the limit of wide pipe, loops,
// what switches sense, and the balances.
#include <cmath>

#include "oxfade/error.hpp"
#include "oxfade/flow/pipe_friction.hpp"
#include "oxfade/gas/transport.hpp"
#include "support/hole.hpp"
#include "support/random_plant.hpp"
#include "support/resolved.hpp"
#include "support/sanitized.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

/// A long tube full of product, held at its set pressure at one end, with a vent at the other.
plant::Plant blown_tube(double bore, double length, int cells, double vent_diameter) {
    plant::Riser riser = full_riser({tube("tube", bore, length, cells)});
    riser.initial_gas = plant::InitialGas::source;
    riser.vents = {vent("tube", vent_diameter)};
    return plant_of(std::move(riser), cylinders(0.99), 20.0 * hour);
}

struct Chain {
    const char* name;
    double bore, length;
    int cells;
    double vent;
    double reynolds_from, reynolds_to;
};

class SteadyChain : public ::testing::TestWithParam<Chain> {};

TEST_P(SteadyChain, FlowsAsTheClosedFormSays) {
    const Chain& c = GetParam();
    const plant::Plant plant = blown_tube(c.bore, c.length, c.cells, c.vent);
    const Resolved run(plant, resolved(tight()));
    const auto last = static_cast<std::size_t>(c.cells - 1);
    const double flow = run.flow_into(0, last), begin = run.pressure(0), end = run.pressure(0, last);
    const gas::Mixture product = gas::nitrogen_of_purity(0.99);
    // From the centre of the first cell to that of the last.
    const flow::PipeRun between{c.length * (c.cells - 1) / c.cells, c.bore};
    EXPECT_NEAR(begin / set_pressure, 1.0, 1e-9);
    EXPECT_LT(end, 0.999 * begin);
    EXPECT_NEAR(flow / flow::isothermal_pipe_flow(between, begin, end, 293.15, product), 1.0, 1e-6);
    EXPECT_NEAR(flow / hole_flow(effective_area(c.vent), end, 101325.0, 293.15, product.molar_mass()), 1.0,
                1e-6);
    for (std::size_t cell = 1; cell <= last; ++cell) EXPECT_NEAR(run.flow_into(0, cell) / flow, 1.0, 1e-6);
    const double reynolds =
        flow::reynolds_number(flow, product.molar_mass(), c.bore, gas::viscosity(product, 293.15));
    EXPECT_GT(reynolds, c.reynolds_from);
    EXPECT_LT(reynolds, c.reynolds_to);
}

INSTANTIATE_TEST_SUITE_P(Regimes, SteadyChain,
                         ::testing::Values(Chain{"laminar", 0.006, 60.0, 6, 0.4e-3, 0.0, 2000.0},
                                           Chain{"between", 0.012, 60.0, 8, 1e-3, 2000.0, 4000.0},
                                           Chain{"turbulent", 0.015, 80.0, 10, 4e-3, 4000.0, 1e6},
                                           Chain{"two_cells", 0.02, 50.0, 2, 6e-3, 4000.0, 1e6}),
                         [](const auto& which) { return std::string(which.param.name); });

TEST(SteadyFriction, HalvesOfDifferentBoreLoseInSeries) {
    plant::Plant plant = blown_tube(0.02, 20.0, 1, 3e-3);
    plant.risers[0].pipes.push_back(tube("thin", 0.012, 30.0));
    plant.risers[0].vents[0].at = "thin";
    const Resolved run(plant, resolved(tight()));
    const gas::Mixture product = gas::nitrogen_of_purity(0.99);
    const double flow = run.flow_into(1), begin = run.pressure(0), end = run.pressure(1);
    const auto squares = [&](double bore, double length) {
        const double reynolds =
            flow::reynolds_number(flow, product.molar_mass(), bore, gas::viscosity(product, 293.15));
        const double flux = product.molar_mass() * flow / (std::numbers::pi / 4.0 * bore * bore);
        return flow::friction_factor(reynolds, flow::steel_roughness / bore) * length / bore * flux * flux *
               gas::gas_constant * 293.15 / product.molar_mass();
    };
    EXPECT_NEAR((begin * begin - end * end) / (squares(0.02, 10.0) + squares(0.012, 15.0)), 1.0, 1e-6);
}

/// Branched piping so wide and short that friction does not count, filled and purged from a small generator.
plant::Plant wide_piping() {
    plant::Plant plant = two_pipe_riser(0.05 * inch);
    plant.risers[0].pipes = {tube("near", 0.35, 8.0, 3), on(tube("far", 0.3, 6.0, 2), "near"),
                             on(tube("side", 0.3, 4.0, 2), "near")};
    plant.risers[0].vents.push_back(vent("side", 0.02 * inch));
    plant.duration = 1.0 * day;
    return plant;
}

void expect_same(const outcome::Outcome& a, const outcome::Outcome& b, double tolerance) {
    ASSERT_EQ(a.risers.size(), b.risers.size());
    for (std::size_t r = 0; r < a.risers.size(); ++r) {
        const outcome::RiserOutcome& x = a.risers[r];
        const outcome::RiserOutcome& y = b.risers[r];
        ASSERT_TRUE(x.fill_time && y.fill_time && x.time_to_target && y.time_to_target);
        EXPECT_NEAR(*x.fill_time / *y.fill_time, 1.0, tolerance);
        EXPECT_NEAR(*x.time_to_target / *y.time_to_target, 1.0, tolerance);
        EXPECT_NEAR(x.final_pressure / y.final_pressure, 1.0, tolerance);
        EXPECT_NEAR(x.vented / y.vented, 1.0, tolerance);
        EXPECT_NEAR(x.leaked / y.leaked, 1.0, tolerance);
        for (std::size_t p = 0; p < x.pipes.size(); ++p) {
            for (std::size_t c = 0; c < x.pipes[p].oxygen.size(); ++c)
                EXPECT_NEAR(x.pipes[p].oxygen[c], y.pipes[p].oxygen[c], tolerance);
        }
    }
}

TEST(WidePipe, IsAsOnePressure) {
    const plant::Plant plant = wide_piping();
    expect_same(run(plant, resolved(tight(1e-9))), run(plant, tight(1e-9)), 1e-6);
}

TEST(WidePipe, IsAsOnePressureWithMixingASwitchAndAPressureCycleVent) {
    plant::Plant plant = wide_piping();
    plant.mixing = {true, true};
    plant.risers[0].supply = plant::PressureSwitch{{0.035 * inch, 0.8}, psig(26.0), psig(32.0)};
    plant.risers[0].vents[0].policy = plant::OpenBetween{psig(32.0), psig(26.0)};
    plant.risers[0].vents[0].orifice.diameter = 0.06 * inch;
    plant.duration = 3.0 * day;
    plant.target = 0.9;
    expect_same(run(plant, resolved(tight(1e-9))), run(plant, tight(1e-9)), 1e-6);
}

TEST(ResolvedLoops, LaminarFlowDividesByResistance) {
    plant::Riser riser = full_riser(
        {tube("feed", 0.05, 4.0), on(tube("a", 0.02, 8.0), "feed"), on(tube("b", 0.015, 5.0), "feed")});
    riser.initial_gas = plant::InitialGas::source;
    riser.vents = {vent("a", 0.5e-3)};
    riser.links.push_back({"a", "b"});
    const Resolved run(plant_of(std::move(riser), cylinders(0.98), 4.0 * hour), resolved(tight()));
    const auto half = [](double bore, double length) { return 0.5 * length / std::pow(bore, 4); };
    const double feed = half(0.05, 4.0), a = half(0.02, 8.0), b = half(0.015, 5.0);
    const double direct = feed + a, round = feed + b + b + a;
    const double all = run.flow_into(1) + run.flow_into(2);
    EXPECT_NEAR(run.flow_into(1) / all, round / (direct + round), 1e-6);
    EXPECT_NEAR(run.flows.loop[0][0] / all, -direct / (direct + round), 1e-6);  // from b to a
}

TEST(ResolvedSupply, ARegulatorHoldsThePressureWhereGasEnters) {
    plant::Plant plant = blown_tube(0.012, 100.0, 10, 3e-3);
    const auto out = run(plant, resolved());
    EXPECT_NEAR(out.risers[0].lowest_in_service / set_pressure, 1.0, 1e-6);
    EXPECT_NEAR(out.risers[0].highest_in_service / set_pressure, 1.0, 1e-6);
    EXPECT_LT(out.risers[0].vented, 0.95 * run(plant).risers[0].vented);  // less pressure ahead of the vent
}

TEST(ResolvedSupply, ThinPipeIsFullWhereGasEntersBeforeItsFarEnd) {
    plant::Plant plant = blown_tube(0.012, 100.0, 10, 1e-3);
    plant.risers[0].initial_pressure.reset();
    const auto one = run(plant), friction = run(plant, resolved());
    ASSERT_TRUE(one.risers[0].fill_time && friction.risers[0].fill_time);
    EXPECT_LT(*friction.risers[0].fill_time, 0.9 * *one.risers[0].fill_time);
}

TEST(ResolvedBalance, ClosesOnRandomPlants) {
    for (unsigned seed = 0; seed < (sanitized ? 6 : 24); ++seed) {
        plant::Plant plant = with_geometry(random_plant(seed), 0.08);
        plant.duration = std::min(plant.duration, 2.0 * hour);
        // Into a cell of a few litres a pressure switch would flutter, as a real one does.
        for (plant::Riser& riser : plant.risers) riser.pipes[0].shape = plant::Cylinder{0.15, 30.0};
        const auto out = run(plant, resolved());  // looks at the balance
        for (const auto& riser : out.risers) {
            for (const auto& pipe : riser.pipes) {
                for (const double oxygen : pipe.oxygen) {
                    EXPECT_GT(oxygen, -1e-6) << plant.title;
                    EXPECT_LT(oxygen, 0.2096) << plant.title;
                }
            }
        }
    }
}

TEST(ResolvedInput, APipeWithoutGeometryIsNamed) {
    plant::Riser riser = full_riser({tube("main", 0.1, 10.0), vessel("tank", 0.5)});
    const plant::Plant plant = plant_of(std::move(riser), cylinders(0.98), hour);
    try {
        engine::predict(plant, resolved());
        FAIL() << "no error";
    } catch (const InputError& error) {
        ASSERT_EQ(error.problems().size(), 1U);
        EXPECT_EQ(error.problems()[0].key, "riser.riser.pipe.tank");
        EXPECT_NE(error.problems()[0].what.find("pipe 'tank' is given by its volume alone"),
                  std::string::npos);
    }
}

TEST(ResolvedInput, OneVesselAloneNeedsNoGeometry) {
    const plant::Plant plant = purged_vessel(0.99, 100000.0);
    const auto a = run(plant, resolved(tight())), b = run(plant, tight());
    ASSERT_TRUE(a.risers[0].time_to_target && b.risers[0].time_to_target);
    EXPECT_NEAR(*a.risers[0].time_to_target / *b.risers[0].time_to_target, 1.0, 1e-8);
    EXPECT_NEAR(final_air_fraction(a), final_air_fraction(b), 1e-9);
}

}  // namespace
