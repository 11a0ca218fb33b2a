// Implicit steps of the cruise by the sweep, on every instruction set: against the same method written out
// with full vectors and no tree, and against one another.
#include "engine/cruise_sweep.hpp"

#include <Eigen/LU>
#include <algorithm>
#include <cmath>
#include <random>

#include "engine/lanes/dispatch.hpp"
#include "engine/rosenbrock.hpp"
#include "support/plants.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

constexpr int stride = 64;

/// A riser of runs and branches, 53 compartments in all, and what the cruise knows of it.
struct Bed {
    explicit Bed(unsigned seed) {
        plant::Riser riser =
            full_riser({tube("main", 0.1, 30.0, 20), on(tube("left", 0.05, 10.0, 12), "main"),
                        on(tube("right", 0.05, 12.0, 9), "main"), on(tube("a", 0.03, 2.0), "left"),
                        on(tube("b", 0.03, 2.5), "left"), on(tube("end", 0.04, 8.0, 10), "right")});
        net = engine::build_network(plant_of(std::move(riser), generator(0.98), 1.0));
        nodes = net.nodes();
        std::mt19937 random(seed);
        std::uniform_real_distribution<double> share(0.0, 1.0);
        memory.assign(static_cast<std::size_t>(8 * stride), 0.0);
        double* next = memory.data();
        for (double** row : {&view.inverse_moles, &view.strength, &view.link}) {
            *row = next;
            next += stride;
        }
        view.z = next;
        view.nodes = nodes;
        view.stride = stride;
        view.risers = 1;
        view.parent = net.parent.data();
        view.roots = &root;
        vent_part.assign(stride, 0.0);
        for (int i = 0; i < nodes; ++i) {
            view.inverse_moles[i] = 1.0 / (0.5 + share(random));
            view.z[i] = i < 25 ? 0.1 * share(random) : 1.0;  // behind: at rest
        }
        for (const int i : {5, 33, 41, 42, 52}) {
            view.strength[i] = 1e-4 * share(random);
            vent_part[static_cast<std::size_t>(i)] = share(random);
        }
        view.made = 2e-3;
        view.made_air = 4e-4;
        view.source = 20.0;
        view.source_air = 0.7;
    }
    engine::Network net;
    int nodes = 0, root = 0;
    std::vector<double> memory, vent_part;
    engine::SeriesView<double> view;
};

/// The same plant as a system for RosenbrockStepper: receiver, air in it, vented and leaked gas and air,
/// nodes.
struct Written {
    explicit Written(const Bed& from) : bed(from), count(from.nodes) {}
    const Bed& bed;
    int count;
    Eigen::MatrixXd factor;
    Eigen::VectorXd link;
    double supply = 0.0;

    Eigen::VectorXd state() const {
        Eigen::VectorXd x = Eigen::VectorXd::Zero(6 + count);
        x[0] = bed.view.source;
        x[1] = bed.view.source_air;
        for (int i = 0; i < count; ++i) x[6 + i] = bed.view.z[i];
        return x;
    }
    double out(const Eigen::VectorXd& x, int i) const {
        return bed.view.strength[i] / std::sqrt(bed.net.gases.molar_mass(x[6 + i]));
    }
    void flows(const Eigen::VectorXd& x) {
        link = Eigen::VectorXd::Zero(count);
        for (int i = count - 1; i >= 0; --i) {
            link[i] += out(x, i);
            if (i > 0) link[bed.view.parent[i]] += link[i];
        }
        supply = link[0];
    }
    void rates(double, const Eigen::VectorXd& x, Eigen::VectorXd& f) {
        flows(x);
        f = Eigen::VectorXd::Zero(x.size());
        const double given = x[1] / x[0];
        f[0] = bed.view.made - supply;
        f[1] = bed.view.made_air - supply * given;
        for (int i = 0; i < count; ++i) {
            const double leaving = out(x, i), part = bed.vent_part[static_cast<std::size_t>(i)];
            f[2] += part * leaving;
            f[3] += part * leaving * x[6 + i];
            f[4] += (1.0 - part) * leaving;
            f[5] += (1.0 - part) * leaving * x[6 + i];
            const double before = i > 0 ? x[6 + bed.view.parent[i]] : given;
            f[6 + i] = link[i] * bed.view.inverse_moles[i] * (before - x[6 + i]);
        }
    }
    static const Eigen::VectorXd* slope_in_time(double, const Eigen::VectorXd&, const Eigen::VectorXd&,
                                                double) {
        return nullptr;
    }
    void prepare(const Eigen::VectorXd& x, const Eigen::VectorXd& /*dxdt*/, double shift) {
        flows(x);
        factor = Eigen::MatrixXd::Identity(x.size(), x.size()) * shift;
        const auto add = [&](int row, int column, double value) { factor(row, column) -= value; };
        const double given_by_moles = -x[1] / (x[0] * x[0]), given_by_air = 1.0 / x[0];
        add(1, 0, -supply * given_by_moles);
        add(1, 1, -supply * given_by_air);
        for (int i = 0; i < count; ++i) {
            const double leaving = out(x, i), part = bed.vent_part[static_cast<std::size_t>(i)];
            add(3, 6 + i, part * leaving);
            add(5, 6 + i, (1.0 - part) * leaving);
            const double rate = link[i] * bed.view.inverse_moles[i];
            add(6 + i, 6 + i, -rate);
            if (i > 0) {
                add(6 + i, 6 + bed.view.parent[i], rate);
            } else {
                add(6, 0, rate * given_by_moles);
                add(6, 1, rate * given_by_air);
            }
        }
    }
    void solve(const Eigen::VectorXd& rhs, Eigen::VectorXd& u) const { u = factor.lu().solve(rhs); }
};

class CruiseSweeps : public ::testing::TestWithParam<unsigned> {};

TEST_P(CruiseSweeps, EveryInstructionSetIsTheMethodWrittenOut) {
    const Bed start(GetParam());
    Written system(start);
    Eigen::VectorXd expected = system.state(), error;
    const double size = 1.0;
    engine::RosenbrockStepper stepper;
    stepper.do_step(system, expected, 0.0, size, error);
    for (const engine::Kernels* kernels : engine::all_kernels()) {
        SCOPED_TRACE(kernels->name);
        Bed bed(GetParam());
        engine::CruiseSweep sweep(bed.net, 1e-2, *kernels);
        sweep.lay_out(bed.view, bed.vent_part);
        sweep.take(bed.view, {});
        const engine::CruiseSurvey survey = sweep.start(bed.view);
        system.flows(system.state());
        EXPECT_NEAR(bed.view.supply[0], system.supply, 1e-15);
        double fastest = 0.0;
        for (int i = 0; i < bed.nodes; ++i) {
            EXPECT_NEAR(bed.view.link[i], system.link[i], 1e-15) << i;
            fastest = std::max(fastest, system.link[i] * bed.view.inverse_moles[i]);
        }
        EXPECT_NEAR(survey.largest_rate, fastest, 1e-12 * fastest);
        ASSERT_EQ(sweep.step(bed.view, size), size);
        std::vector<double> totals(4, 0.0), exposure(stride, 0.0), moles(stride, 1.0);
        sweep.add_totals(size, totals);
        sweep.carry(size, bed.view, moles, exposure.data());
        for (int i = 0; i < bed.nodes; ++i) {
            EXPECT_NEAR(bed.view.z[i], expected[6 + i], 1e-13) << i;
            const double mean = 0.5 * (start.view.z[i] + expected[6 + i]);
            EXPECT_NEAR(exposure[static_cast<std::size_t>(i)], mean * size, 1e-4) << i;
        }
        for (int k = 0; k < 4; ++k) EXPECT_NEAR(totals[static_cast<std::size_t>(k)], expected[2 + k], 1e-15);
    }
}

TEST_P(CruiseSweeps, WhatIsAtRestStaysAsItIs) {
    Bed bed(GetParam());
    const std::vector<double> before(bed.view.z, bed.view.z + bed.nodes);
    engine::CruiseSweep sweep(bed.net, 1e-6, engine::best_kernels());
    sweep.lay_out(bed.view, bed.vent_part);
    sweep.take(bed.view, {});
    std::vector<double> exposure(stride, 0.0), moles(stride, 1.0);
    double time = 0.0;
    for (int k = 0; k < 5; ++k) {
        sweep.start(bed.view);
        const double size = sweep.step(bed.view, 0.1);
        sweep.carry(0.5 * size, bed.view, moles, exposure.data());
        time += 0.5 * size;
    }
    EXPECT_NE(bed.view.z[10], before[10]);
    for (int i = 48; i < bed.nodes; ++i) {
        EXPECT_EQ(bed.view.z[i], 1.0) << i;  // far ahead of the front
        EXPECT_NEAR(exposure[static_cast<std::size_t>(i)], time, 1e-12);
    }
}

TEST(CruiseSweep, NodesThatMayCrossTheTargetAreNamed) {
    Bed bed(1);
    bed.net.target_air = 0.5;
    engine::CruiseSweep sweep(bed.net, 1e-6, engine::best_kernels());
    sweep.lay_out(bed.view, bed.vent_part);
    sweep.take(bed.view, {});
    std::vector<double> exposure(stride, 0.0), moles(stride, 1.0);
    std::vector<bool> named(static_cast<std::size_t>(bed.nodes), false);
    for (int k = 0; k < 20000; ++k) {
        const std::vector<double> before(bed.view.z, bed.view.z + bed.nodes);
        sweep.start(bed.view);
        const double size = sweep.step(bed.view, 1e4);
        sweep.carry(size, bed.view, moles, exposure.data());
        const std::vector<int>& near = sweep.near_target();
        EXPECT_EQ(k == 0, near.size() == before.size()) << "all of what was taken over";
        for (int i = 0; i < bed.nodes; ++i) {
            const bool crossed = (before[static_cast<std::size_t>(i)] > 0.5) != (bed.view.z[i] > 0.5);
            const bool said = std::find(near.begin(), near.end(), i) != near.end();
            EXPECT_TRUE(said || !crossed) << i;
            named[static_cast<std::size_t>(i)] = named[static_cast<std::size_t>(i)] || (crossed && said);
        }
        if (named[52]) break;
    }
    EXPECT_TRUE(named[52]);
}

INSTANTIATE_TEST_SUITE_P(Seeds, CruiseSweeps, ::testing::Values(1U, 2U, 3U));

}  // namespace
