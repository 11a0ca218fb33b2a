// (shift I - J) u = rhs against finite differences of the rates with a pressure in every node, and what keeps
// the balances.
#include "engine/resolved_linearisation.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "support/mesh.hpp"
#include "support/resolved.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;
using engine::Layout;
using engine::State;
using engine::SupplyMode;

struct Case {
    const char* name;
    bool generator;
    SupplyMode supply;
    double pressure;  ///< of the risers, in terms of their set pressure
};

class ResolvedLinearisation : public ::testing::TestWithParam<Case> {
  protected:
    explicit ResolvedLinearisation(double purity = purity_as_heavy_as_air())
        : net_(engine::build_network(with_geometry(meshed_plant(purity, source(purity)), 0.05),
                                     engine::Pressures::resolved)),
          dynamics_(net_),
          x_(dynamics_.initial_state()),
          flows_(dynamics_.make_flows()),
          rates_(x_.size()) {
        engine::Modes modes = dynamics_.modes();
        for (auto& riser : modes.risers) riser = {engine::Stage::in_service, GetParam().supply};
        for (auto& vent : modes.vents) vent.open = true;
        dynamics_.set_modes(modes);
        const Layout& layout = dynamics_.layout();
        x_[Layout::source_air] = 0.3 * x_[Layout::source];
        for (int i = 0; i < layout.nodes; ++i) {
            x_[layout.gas(i)] *= GetParam().pressure * (1.0 + 1e-2 * std::sin(4.1 * i));
            x_[layout.air(i)] = (0.5 + 0.4 * std::sin(2.3 * i + 1.0)) * layout.moles(x_, i);
        }
        dynamics_.rates(0.0, x_, rates_, flows_);
    }
    static plant::Source source(double purity) {
        if (GetParam().generator) return generator(purity);
        return cylinders(purity);
    }

    engine::Network net_;
    engine::ResolvedDynamics dynamics_;
    State x_;
    engine::Flows flows_;
    State rates_;
};

TEST_P(ResolvedLinearisation, IsExactButForComposition) {
    // The product's viscosity made that of air too: composition then has no effect on any flow of gas.
    net_.gases.viscosity_excess = 0.0;
    net_.gases.viscosity_product *= 1e4;  // laminar, where slope and chord are one
    net_.kinds = {true, false, false};
    dynamics_.rates(0.0, x_, rates_, flows_);
    engine::ResolvedLinearisation linear(dynamics_);
    engine::Flows scratch = dynamics_.make_flows();
    scratch.within_step = true;
    for (const double shift : {1e-2, 1.0, 100.0}) {
        State rhs(x_.size()), u(x_.size()), up(x_.size()), down(x_.size());
        for (Eigen::Index i = 0; i < rhs.size(); ++i) rhs[i] = std::sin(2.0 + 1.7 * static_cast<double>(i));
        if (GetParam().supply == SupplyMode::hold) {
            for (int r = 0; r < dynamics_.layout().risers; ++r) rhs[dynamics_.layout().riser(r)] = 0.0;
        }
        linear.prepare(x_, flows_, shift);
        linear.solve(rhs, u);
        const double step = 1e-5 / u.lpNorm<Eigen::Infinity>();
        dynamics_.rates(0.0, x_ + step * u, up, scratch);
        dynamics_.rates(0.0, x_ - step * u, down, scratch);
        const State change = (up - down) / (2.0 * step);
        EXPECT_LT((shift * u - change - rhs).lpNorm<Eigen::Infinity>() /
                      std::max(change.lpNorm<Eigen::Infinity>(), 1.0),
                  1e-3)
            << "shift " << shift;
    }
}

TEST_P(ResolvedLinearisation, KeepsTheBalances) {
    engine::ResolvedLinearisation linear(dynamics_);
    const Layout& layout = dynamics_.layout();
    const double shift = 0.01;
    const auto gas = [&](const State& v) {
        double sum = v[Layout::source];
        for (int i = 2; i < 2 + layout.vessels; ++i) sum += v[i];
        for (int r = 0; r < layout.risers; ++r)
            sum += v[layout.total(r, Layout::vented)] + v[layout.total(r, Layout::leaked)];
        return sum;
    };
    const auto air = [&](const State& v) {
        double sum = v[Layout::source_air];
        for (int i = 0; i < layout.nodes; ++i) sum += v[layout.air(i)];
        for (int r = 0; r < layout.risers; ++r)
            sum += v[layout.total(r, Layout::vented_air)] + v[layout.total(r, Layout::leaked_air)];
        return sum;
    };
    const bool holds = GetParam().supply == SupplyMode::hold;
    const State* const exact = nullptr;
    for (const State* rates : {exact, &std::as_const(rates_)}) {  // and what keeps long steps stable
        linear.prepare(x_, flows_, shift, rates);
        for (Eigen::Index k = 0; k < x_.size(); ++k) {
            const bool entry = k == layout.riser(0) || k == layout.riser(1);
            if (holds && entry) continue;  // what is held has no rate
            State rhs = State::Zero(x_.size()), u(x_.size());
            rhs[k] = 1.0;
            linear.solve(rhs, u);
            EXPECT_NEAR(shift * gas(u), gas(rhs), 1e-9) << "column " << k;
            EXPECT_NEAR(shift * air(u), air(rhs), 1e-9) << "column " << k;
        }
    }
}

INSTANTIATE_TEST_SUITE_P(Modes, ResolvedLinearisation,
                         ::testing::Values(Case{"wide", true, SupplyMode::wide, 0.9},
                                           Case{"hold", true, SupplyMode::hold, 1.0},
                                           Case{"shut", true, SupplyMode::shut, 1.1},
                                           Case{"cylinders_wide", false, SupplyMode::wide, 0.9},
                                           Case{"inflow", true, SupplyMode::wide, 0.15}),
                         [](const auto& which) { return std::string(which.param.name); });

}  // namespace
