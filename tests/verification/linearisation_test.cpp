// (shift I - J) u = rhs against finite differences of the rates, and what keeps the balances.
#include "engine/uniform_linearisation.hpp"

#include <algorithm>
#include <cmath>

#include "support/flows.hpp"
#include "support/mesh.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;
using engine::Layout;
using engine::State;
using engine::SupplyMode;

enum class Feed { generator, cylinders };

struct Case {
    const char* name;
    Feed feed;
    SupplyMode supply;
    double pressure;  ///< of the risers, in terms of their set pressure
    bool vents_open;
    bool filling = false;
};

class LinearisationCases : public ::testing::TestWithParam<Case> {
  protected:
    static Opened open(double purity, const Case& c) {
        plant::Source source = cylinders(purity);
        if (c.feed == Feed::generator) source = generator(purity);
        Opened opened(meshed_plant(purity, source));
        opened.set(c.supply, c.vents_open);
        if (c.filling) {
            engine::Modes modes = opened.dynamics.modes();
            modes.risers[0].stage = engine::Stage::filling;
            opened.dynamics.set_modes(modes);
        }
        place(opened, c.pressure);
        return opened;
    }

    /// Some state with a different air fraction everywhere.
    static void place(Opened& o, double pressure) {
        const Layout& layout = o.dynamics.layout();
        o.x[Layout::source_air] = 0.3 * o.x[Layout::source];
        for (int r = 0; r < layout.risers; ++r) o.x[layout.riser(r)] *= pressure * (1.0 + 0.05 * r);
        for (int i = 0; i < layout.nodes; ++i) {
            const int r = o.net.riser_of[static_cast<std::size_t>(i)];
            const double fraction = 0.5 + 0.4 * std::sin(2.3 * i + 1.0);
            o.x[layout.air(i)] = fraction * o.x[layout.riser(r)] * o.net.share[static_cast<std::size_t>(i)];
        }
    }

    /// A right-hand side as it occurs: where a regulator holds, the riser's moles do not change.
    static State right_hand_side(const Opened& o, int seed, SupplyMode supply) {
        State rhs(o.x.size());
        for (Eigen::Index i = 0; i < rhs.size(); ++i) {
            rhs[i] = std::sin(static_cast<double>(seed) * 7.1 + 1.7 * static_cast<double>(i));
        }
        if (supply == SupplyMode::hold) {
            for (int r = 0; r < o.dynamics.layout().risers; ++r) rhs[o.dynamics.layout().riser(r)] = 0.0;
        }
        return rhs;
    }

    /// Largest residual of the solution against a central difference of the rates, relative to the terms.
    static double residual(Opened& o, double shift, const State& rhs) {
        o.evaluate();
        engine::UniformLinearisation linear(o.dynamics);
        linear.prepare(o.x, o.flows, shift);
        State u(o.x.size()), up(o.x.size()), down(o.x.size());
        linear.solve(rhs, u);
        engine::Flows scratch = o.dynamics.make_flows();
        const double step = 1e-6 * o.x[o.dynamics.layout().riser(1)] / u.lpNorm<Eigen::Infinity>();
        o.dynamics.rates(0.0, o.x + step * u, up, scratch);
        o.dynamics.rates(0.0, o.x - step * u, down, scratch);
        const State change = (up - down) / (2.0 * step);
        return (shift * u - change - rhs).lpNorm<Eigen::Infinity>() /
               std::max(change.lpNorm<Eigen::Infinity>(), rhs.lpNorm<Eigen::Infinity>());
    }
};

TEST_P(LinearisationCases, IsExactWithGasesOfOneMolarMass) {
    for (const double shift : {1e-3, 1e-1, 10.0}) {
        for (int seed = 0; seed < 3; ++seed) {
            Opened o = open(purity_as_heavy_as_air(), GetParam());
            EXPECT_LT(residual(o, shift, right_hand_side(o, seed, GetParam().supply)), 2e-6)
                << "shift " << shift << " seed " << seed;
        }
    }
}

TEST_P(LinearisationCases, IsNearlyExactWithRealGases) {
    for (const double shift : {1e-1, 10.0}) {
        Opened o = open(0.98, GetParam());
        EXPECT_LT(residual(o, shift, right_hand_side(o, 1, GetParam().supply)), 0.1) << "shift " << shift;
    }
}

TEST_P(LinearisationCases, KeepsTheBalances) {
    Opened o = open(0.98, GetParam());
    o.evaluate();
    engine::UniformLinearisation linear(o.dynamics);
    const double shift = 0.01;
    linear.prepare(o.x, o.flows, shift);
    const Layout& layout = o.dynamics.layout();
    const auto gas = [&](const State& v) {
        double sum = v[Layout::source];
        for (int r = 0; r < layout.risers; ++r) {
            sum +=
                v[layout.riser(r)] + v[layout.total(r, Layout::vented)] + v[layout.total(r, Layout::leaked)];
        }
        return sum;
    };
    const auto air = [&](const State& v) {
        double sum = v[Layout::source_air];
        for (int i = 0; i < layout.nodes; ++i) sum += v[layout.air(i)];
        for (int r = 0; r < layout.risers; ++r) {
            sum += v[layout.total(r, Layout::vented_air)] + v[layout.total(r, Layout::leaked_air)];
        }
        return sum;
    };
    for (Eigen::Index k = 0; k < o.x.size(); ++k) {  // unit right-hand sides: the columns one by one
        const bool riser = k >= 2 && k < 2 + layout.risers;
        if (riser && GetParam().supply == SupplyMode::hold) continue;
        const State rhs = State::Unit(o.x.size(), k);
        State u(o.x.size());
        linear.solve(rhs, u);
        EXPECT_NEAR(shift * gas(u), gas(rhs), 1e-10) << "column " << k;
        EXPECT_NEAR(shift * air(u), air(rhs), 1e-10) << "column " << k;
    }
}

INSTANTIATE_TEST_SUITE_P(
    Modes, LinearisationCases,
    ::testing::Values(Case{"generator_wide", Feed::generator, SupplyMode::wide, 0.9, true},
                      Case{"generator_wide_shut_vents", Feed::generator, SupplyMode::wide, 0.9, false},
                      Case{"generator_hold", Feed::generator, SupplyMode::hold, 1.0, true},
                      Case{"generator_shut", Feed::generator, SupplyMode::shut, 1.1, true},
                      Case{"generator_filling", Feed::generator, SupplyMode::wide, 0.5, false, true},
                      Case{"generator_unchoked", Feed::generator, SupplyMode::wide, 0.4, true},
                      Case{"generator_nearly_level", Feed::generator, SupplyMode::wide, 2.1, true},
                      Case{"cylinders_wide", Feed::cylinders, SupplyMode::wide, 0.9, true},
                      Case{"cylinders_hold", Feed::cylinders, SupplyMode::hold, 1.0, true},
                      Case{"cylinders_shut", Feed::cylinders, SupplyMode::shut, 1.0, true},
                      Case{"inflow_wide", Feed::generator, SupplyMode::wide, 0.15, true},
                      Case{"inflow_shut", Feed::cylinders, SupplyMode::shut, 0.2, true}),
    [](const auto& which) { return std::string(which.param.name); });

TEST(Rates, AddUpToWhatIsMade) {
    Opened o(meshed_plant(0.98, generator(0.98)));
    o.set(SupplyMode::wide);
    engine::Modes modes = o.dynamics.modes();
    modes.machine = engine::Machine::air;
    o.dynamics.set_modes(modes);
    o.evaluate();
    const Layout& layout = o.dynamics.layout();
    double gas = o.dxdt[Layout::source], air = o.dxdt[Layout::source_air];
    for (int r = 0; r < layout.risers; ++r) {
        gas += o.dxdt[layout.riser(r)] + o.dxdt[layout.total(r, Layout::vented)] +
               o.dxdt[layout.total(r, Layout::leaked)];
        air += o.dxdt[layout.total(r, Layout::vented_air)] + o.dxdt[layout.total(r, Layout::leaked_air)];
    }
    for (int i = 0; i < layout.nodes; ++i) air += o.dxdt[layout.air(i)];
    EXPECT_NEAR(gas, o.dynamics.made_air(), 1e-14);
    EXPECT_NEAR(air, o.dynamics.made_air(), 1e-14);
}

}  // namespace
