#include "engine/linearisation.hpp"

#include <algorithm>

namespace oxfade::engine {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

double positive(double flow) { return flow > 0.0 ? flow : 0.0; }
double negative(double flow) { return flow < 0.0 ? flow : 0.0; }

}  // namespace

Linearisation::Linearisation(const Dynamics& dynamics)
    : dynamics_(dynamics), net_(dynamics.network()), layout_(dynamics.layout()) {
    const std::size_t nodes = at(layout_.nodes);
    riser_diagonal_.assign(net_.risers.size(), 1.0);
    for (auto* v : {&moles_, &pivot_, &up_, &down_, &work_, &need_, &link_change_}) v->assign(nodes, 0.0);
    loops_.resize(net_.risers.size());
    std::size_t most_loops = 0;
    for (const RiserNet& riser : net_.risers) most_loops = std::max(most_loops, riser.loops.size());
    loop_change_.assign(most_loops, 0.0);
}

void Linearisation::prepare(const State& x, const Flows& flows, double shift) {
    x_ = x;
    flows_ = &flows;
    shift_ = shift;
    source_diagonal_ = shift;
    double drawn = 0.0;
    for (int r = 0; r < layout_.risers; ++r) {
        const Flows::OfRiser& f = flows.risers[at(r)];
        const bool holds = dynamics_.modes().risers[at(r)].supply == SupplyMode::hold;
        drawn += f.supply;
        if (holds) continue;  // its moles do not change
        // Outflow through holes depends on the riser's moles by `draught_slope`, each on its own area.
        const double out_slope = f.draught != 0.0 ? f.outflow * f.draught_slope / f.draught : 0.0;
        riser_diagonal_[at(r)] = shift - f.supply_slope_riser + out_slope;
        source_diagonal_ +=
            f.supply_slope_source + f.supply_slope_riser * f.supply_slope_source / riser_diagonal_[at(r)];
    }
    source_air_diagonal_ = shift + drawn / std::max(x[Layout::source], 1e-30);
    for (int r = 0; r < layout_.risers; ++r) prepare_riser(r);
}

void Linearisation::prepare_riser(int r) {
    const RiserNet& riser = net_.risers[at(r)];
    const double moles = std::max(x_[layout_.riser(r)], 1e-30);
    const int end = riser.first + riser.count;
    for (int i = riser.first; i < end; ++i) {
        moles_[at(i)] = moles * net_.share[at(i)];
        pivot_[at(i)] = shift_ + positive(flows_->out[at(i)]) / moles_[at(i)];
    }
    for (int i = riser.first + 1; i < end; ++i) {
        const int p = net_.parent[at(i)];
        const double flow = flows_->link[at(i)], g = flows_->mixing_slope[at(i)];
        down_[at(i)] = (positive(flow) + g) / moles_[at(p)];  // d(flux into i)/d(air of parent)
        up_[at(i)] = (g - negative(flow)) / moles_[at(i)];    // -d(flux into i)/d(air of i)
        pivot_[at(i)] += up_[at(i)];
        pivot_[at(p)] += down_[at(i)];
    }
    if (!riser.loops.empty()) {
        LoopFactor& factor = loops_[at(r)];
        factor.weight_first.assign(riser.loops.size(), 0.0);
        factor.weight_second = factor.weight_first;
        for (std::size_t k = 0; k < riser.loops.size(); ++k) {
            const double flow = flows_->loop[at(r)][k], g = flows_->loop_mixing_slope[at(r)][k];
            factor.weight_first[k] = (positive(flow) + g) / moles_[at(riser.loops[k].first)];
            factor.weight_second[k] = (negative(flow) - g) / moles_[at(riser.loops[k].second)];
        }
    }
    for (int i = end - 1; i > riser.first; --i) {
        // Leaves first: node i leaves its parent's row with pivot less up x down / pivot.
        pivot_[at(net_.parent[at(i)])] -= up_[at(i)] * down_[at(i)] / pivot_[at(i)];
    }
    if (!riser.loops.empty()) prepare_loops(r);
}

void Linearisation::prepare_loops(int r) {
    const RiserNet& riser = net_.risers[at(r)];
    LoopFactor& factor = loops_[at(r)];
    const std::size_t count = riser.loops.size();
    factor.response.assign(count, {});
    Eigen::MatrixXd capacitance =
        Eigen::MatrixXd::Identity(static_cast<Eigen::Index>(count), static_cast<Eigen::Index>(count));
    for (std::size_t k = 0; k < count; ++k) {
        std::vector<double>& b = factor.response[k];
        b.assign(at(layout_.nodes), 0.0);
        b[at(riser.loops[k].first)] += 1.0;
        b[at(riser.loops[k].second)] -= 1.0;
        eliminate(riser, b);
        for (std::size_t j = 0; j < count; ++j) {
            capacitance(static_cast<Eigen::Index>(j), static_cast<Eigen::Index>(k)) +=
                factor.weight_first[j] * b[at(riser.loops[j].first)] +
                factor.weight_second[j] * b[at(riser.loops[j].second)];
        }
    }
    factor.capacitance.compute(capacitance);
}

void Linearisation::eliminate(const RiserNet& riser, std::vector<double>& b) const {
    for (int i = riser.first + riser.count - 1; i > riser.first; --i) {
        b[at(net_.parent[at(i)])] += up_[at(i)] * b[at(i)] / pivot_[at(i)];
    }
    b[at(riser.first)] /= pivot_[at(riser.first)];
    for (int i = riser.first + 1; i < riser.first + riser.count; ++i) {
        b[at(i)] = (b[at(i)] + down_[at(i)] * b[at(net_.parent[at(i)])]) / pivot_[at(i)];
    }
}

void Linearisation::correct_for_loops(int r, std::vector<double>& b) {
    const RiserNet& riser = net_.risers[at(r)];
    const LoopFactor& factor = loops_[at(r)];
    const auto count = static_cast<Eigen::Index>(riser.loops.size());
    Eigen::VectorXd seen(count);
    for (Eigen::Index k = 0; k < count; ++k) {
        const LoopLink& loop = riser.loops[static_cast<std::size_t>(k)];
        seen[k] = factor.weight_first[static_cast<std::size_t>(k)] * b[at(loop.first)] +
                  factor.weight_second[static_cast<std::size_t>(k)] * b[at(loop.second)];
    }
    const Eigen::VectorXd strength = factor.capacitance.solve(seen);
    for (Eigen::Index k = 0; k < count; ++k) {
        const std::vector<double>& response = factor.response[static_cast<std::size_t>(k)];
        for (int i = riser.first; i < riser.first + riser.count; ++i)
            b[at(i)] -= strength[k] * response[at(i)];
    }
}

void Linearisation::solve(const State& rhs, State& u) {
    solve_moles(rhs, u);
    for (int r = 0; r < layout_.risers; ++r) {
        solve_air(r, rhs, u);
        solve_totals(r, rhs, u);
    }
}

void Linearisation::solve_moles(const State& rhs, State& u) {
    const auto holds = [&](int r) { return dynamics_.modes().risers[at(r)].supply == SupplyMode::hold; };
    double right = rhs[Layout::source];
    for (int r = 0; r < layout_.risers; ++r) {
        if (holds(r)) continue;
        right -= flows_->risers[at(r)].supply_slope_riser * rhs[layout_.riser(r)] / riser_diagonal_[at(r)];
    }
    u[Layout::source] = right / source_diagonal_;
    double drawn_air = 0.0;
    for (int r = 0; r < layout_.risers; ++r) {
        const Flows::OfRiser& f = flows_->risers[at(r)];
        if (holds(r)) {
            u[layout_.riser(r)] = rhs[layout_.riser(r)] / shift_;
        } else {
            u[layout_.riser(r)] =
                (rhs[layout_.riser(r)] + f.supply_slope_source * u[Layout::source]) / riser_diagonal_[at(r)];
            drawn_air +=
                (f.supply_slope_source * u[Layout::source] + f.supply_slope_riser * u[layout_.riser(r)]) *
                flows_->source_fraction;
        }
        drawn_air -=
            f.supply * flows_->source_fraction * u[Layout::source] / std::max(x_[Layout::source], 1e-30);
    }
    u[Layout::source_air] = (rhs[Layout::source_air] - drawn_air) / source_air_diagonal_;
}

void Linearisation::add_flow_changes(int r, const State& u, std::vector<double>& b) {
    const RiserNet& riser = net_.risers[at(r)];
    const Flows::OfRiser& f = flows_->risers[at(r)];
    const auto& z = flows_->fraction;
    const double riser_change = u[layout_.riser(r)], source_change = u[Layout::source];
    const double relative = riser_change / std::max(x_[layout_.riser(r)], 1e-30);  // dz = -z x relative
    const bool holds = dynamics_.modes().risers[at(r)].supply == SupplyMode::hold;
    const double out_relative = f.draught != 0.0 && !holds ? f.draught_slope / f.draught * riser_change : 0.0;
    const double supply_change =
        holds ? 0.0 : f.supply_slope_source * source_change + f.supply_slope_riser * riser_change;
    const double gain_change = holds ? 0.0 : supply_change - f.outflow * out_relative;
    const int end = riser.first + riser.count;

    for (int i = riser.first; i < end; ++i) {
        const double out = flows_->out[at(i)], change = out * out_relative;
        need_[at(i)] = net_.share[at(i)] * gain_change + change;
        b[at(i)] -= out > 0.0 ? (change - out * relative) * z[at(i)] : change;
    }
    sweep_flows(net_, riser, need_, link_change_);
    if (!riser.loops.empty()) close_loops(net_, riser, link_change_, loop_change_);

    const double source_moles = std::max(x_[Layout::source], 1e-30);
    const double fraction_change =
        (u[Layout::source_air] - flows_->source_fraction * source_change) / source_moles;
    b[at(riser.first)] += supply_change * flows_->source_fraction + f.supply * fraction_change;

    const auto flux_change = [&](double flow, double change, double g, int from, int to) {
        const double upwind = flow > 0.0 ? z[at(from)] : z[at(to)];
        return (change - flow * relative) * upwind - g * relative * (z[at(from)] - z[at(to)]);
    };
    for (int i = riser.first + 1; i < end; ++i) {
        const int p = net_.parent[at(i)];
        const double change =
            flux_change(flows_->link[at(i)], link_change_[at(i)], flows_->mixing_slope[at(i)], p, i);
        b[at(i)] += change;
        b[at(p)] -= change;
    }
    for (std::size_t k = 0; k < riser.loops.size(); ++k) {
        const int a = riser.loops[k].first, c = riser.loops[k].second;
        const double change =
            flux_change(flows_->loop[at(r)][k], loop_change_[k], flows_->loop_mixing_slope[at(r)][k], a, c);
        b[at(a)] -= change;
        b[at(c)] += change;
    }
}

void Linearisation::solve_air(int r, const State& rhs, State& u) {
    const RiserNet& riser = net_.risers[at(r)];
    for (int i = riser.first; i < riser.first + riser.count; ++i) work_[at(i)] = rhs[layout_.air(i)];
    add_flow_changes(r, u, work_);
    eliminate(riser, work_);
    if (!riser.loops.empty()) correct_for_loops(r, work_);
    for (int i = riser.first; i < riser.first + riser.count; ++i) u[layout_.air(i)] = work_[at(i)];
}

void Linearisation::solve_totals(int r, const State& rhs, State& u) const {
    const RiserNet& riser = net_.risers[at(r)];
    const Flows::OfRiser& f = flows_->risers[at(r)];
    const double riser_change = u[layout_.riser(r)];
    const double relative = riser_change / std::max(x_[layout_.riser(r)], 1e-30);
    const bool holds = dynamics_.modes().risers[at(r)].supply == SupplyMode::hold;
    const double out_relative = f.draught != 0.0 && !holds ? f.draught_slope / f.draught * riser_change : 0.0;
    double out = 0.0, out_air = 0.0, vented = 0.0, vented_air = 0.0;
    for (int i = riser.first; i < riser.first + riser.count; ++i) {
        const double flow = flows_->out[at(i)];
        if (flow == 0.0) continue;
        const double z = flows_->fraction[at(i)], change = flow * out_relative;
        const double air =
            flow > 0.0 ? change * z + flow * (u[layout_.air(i)] / moles_[at(i)] - z * relative) : change;
        out += change;
        out_air += air;
        const double vents = flows_->vent_area[at(i)];
        if (vents > 0.0) {
            const double part = vents / (vents + net_.leak_area[at(i)]);
            vented += part * change;
            vented_air += part * air;
        }
    }
    const auto set = [&](Layout::Total which, double change) {
        u[layout_.total(r, which)] = (rhs[layout_.total(r, which)] + change) / shift_;
    };
    set(Layout::vented, vented);
    set(Layout::vented_air, vented_air);
    set(Layout::leaked, out - vented);
    set(Layout::leaked_air, out_air - vented_air);
}

}  // namespace oxfade::engine
