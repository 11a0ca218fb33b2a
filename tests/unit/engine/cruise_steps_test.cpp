// Steps of the cruise where compartments mix and piping has loops.
#include "engine/cruise_steps.hpp"

#include <Eigen/LU>
#include <cmath>

#include "engine/cruise.hpp"
#include "support/mesh.hpp"
#include "support/plants.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

/// A plant whose riser holds, its vents open, and a cruise of it at the start.
struct Held {
    explicit Held(const plant::Plant& plant)
        : net(engine::build_network(plant)), dynamics(engine::make_dynamics(net)), series(*dynamics, 1e-6) {
        engine::Modes modes = dynamics->modes();
        for (auto& riser : modes.risers) riser = {engine::Stage::in_service, engine::SupplyMode::hold, false};
        for (auto& vent : modes.vents) vent.open = true;
        dynamics->set_modes(modes);
        x = dynamics->initial_state();
        series.load(x);
        series.start(0.0, 0.0);
    }

    /// How compositions decay, by differences of the rates.
    Eigen::MatrixXd decay() const {
        const engine::Layout& layout = dynamics->layout();
        engine::Flows flows = dynamics->make_flows();
        engine::State rates(x.size()), moved(x.size());
        dynamics->rates(0.0, x, rates, flows);
        Eigen::MatrixXd matrix(layout.nodes, layout.nodes);
        constexpr double change = 1e-7;
        for (int j = 0; j < layout.nodes; ++j) {
            engine::State other = x;
            other[layout.air(j)] -= change * layout.moles(x, j);
            dynamics->rates(0.0, other, moved, flows);
            for (int i = 0; i < layout.nodes; ++i)
                matrix(i, j) = (moved[layout.air(i)] - rates[layout.air(i)]) / layout.moles(x, i) / change;
        }
        return matrix;
    }

    engine::Network net;
    std::unique_ptr<engine::Dynamics> dynamics;
    engine::State x;
    engine::CruiseSeries series;
};

/// A main with a vent at its end and a dead leg, short enough to mix into it.
plant::Plant with_dead_leg() {
    plant::Riser riser = full_riser(
        {tube("main", 0.1, 6.0, 3), on(tube("leg", 0.05, 0.4, 2), "main"), tube("end", 0.1, 2.0, 2)});
    riser.pipes[2].from = "main";
    riser.vents.push_back(vent("end", 0.3e-3));
    plant::Plant plant = plant_of(std::move(riser), generator(), day);
    plant.mixing = {true, false};
    return plant;
}

/// By inverse iteration: what flows and mixes has an inverse without negative entries, so that its largest
/// eigenvalue is real and alone.
double least_eigenvalue(const Eigen::MatrixXd& matrix) {
    const Eigen::PartialPivLU<Eigen::MatrixXd> lu(matrix);
    Eigen::VectorXd x = Eigen::VectorXd::Ones(matrix.rows());
    double grown = 0.0;
    for (int k = 0; k < 2000; ++k) {
        const Eigen::VectorXd next = lu.solve(x);
        grown = next.sum() / x.sum();
        x = next / next.norm();
    }
    return 1.0 / grown;
}

TEST(CruiseSteps, MeanAgeBoundsTheSlowestDecay) {
    for (const plant::Plant& plant : {with_dead_leg(), meshed_plant(0.98, generator())}) {
        const Held held(plant);
        ASSERT_TRUE(held.series.coupled());
        const double slowest = least_eigenvalue(held.decay());
        const double bound = held.series.slowest_decay(
            std::vector<double>(static_cast<std::size_t>(held.net.nodes() + 1), 1.0));
        EXPECT_GT(slowest, 0.0) << plant.title;
        EXPECT_LE(bound, slowest * (1.0 + 1e-5)) << plant.title;
        EXPECT_GT(bound, 0.2 * slowest) << plant.title;
    }
}

TEST(CruiseSteps, WhatMixingReachesIsNotForgotten) {
    Held held(with_dead_leg());
    const int leg = held.net.node_of[0][1][1];
    EXPECT_EQ(held.series.rate(leg), 0.0);
    EXPECT_EQ(held.series.highest_fraction(), 1.0);
    held.series.flush_nodes();
    EXPECT_EQ(held.series.air_fraction(leg), 0.0);
}

}  // namespace
