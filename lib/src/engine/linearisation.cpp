#include "engine/linearisation.hpp"

#include <algorithm>
#include <cmath>

#include "engine/at.hpp"
#include "engine/rosenbrock.hpp"

namespace oxfade::engine {
namespace {

/// Where air and nitrogen change places, what mixes may soon be many times what it is: the greatest slope of
/// late counts as well.
constexpr double fading = 0.7;
/// How much of what stands at a face may come from the cell downstream, where steps may be long: more than
/// that, and one runs away.
constexpr double most_downstream = 0.5;
/// Of a flux that grows with the power 3/2 of what drives it: its slope over its size.
constexpr double growth = 1.5;

double positive(double flow) { return flow > 0.0 ? flow : 0.0; }
double negative(double flow) { return flow < 0.0 ? flow : 0.0; }

Flows::Face upwind(double flow) { return flow > 0.0 ? Flows::Face{1.0, 0.0} : Flows::Face{0.0, 1.0}; }

}  // namespace

Linearisation::Linearisation(const Dynamics& dynamics)
    : dynamics_(dynamics), net_(dynamics.network()), layout_(dynamics.layout()), air_(net_) {
    if (net_.any_resolved) {
        air_.far.assign(at(layout_.nodes), 0.0);
        air_.far_node.assign(at(layout_.nodes), -1);
    }
    for (auto* v : {&out_change_, &link_change_, &relative_, &moles_, &work_, &steep_, &ahead_, &g_})
        v->assign(at(layout_.nodes), 0.0);
    faces_.resize(at(layout_.nodes));
    supply_change_.assign(net_.risers.size(), 0.0);
    std::size_t most_loops = 0;
    for (const RiserNet& riser : net_.risers) most_loops = std::max(most_loops, riser.loops.size());
    loop_change_.assign(most_loops, 0.0);
}

double Linearisation::moles_in_riser_vessel(int r) const {
    return std::max(x_[layout_.riser(r)], least_moles);
}

void Linearisation::prepare(const State& x, const Flows& flows, double shift, const State* dxdt) {
    x_ = x;
    flows_ = &flows;
    shift_ = shift;
    for_long_steps_ = dxdt != nullptr && net_.any_resolved;
    double drawn = 0.0;
    for (const Flows::OfRiser& f : flows.risers) drawn += f.supply;
    source_air_diagonal_ = shift + drawn / std::max(x[Layout::source], least_moles);
    prepare_gas();
    for (int i = 0; i < layout_.nodes; ++i) {
        steep_[at(i)] = std::max(flows.mixing_slope[at(i)], fading * steep_[at(i)]);
        moles_[at(i)] = layout_.moles(std::max(x_[layout_.gas(i)], least_moles), i);
        faces_[at(i)] = face(i);
    }
    for (int r = 0; r < layout_.risers; ++r) {
        if (for_long_steps_ && net_.any_mixing) look_ahead(r, *dxdt);
        transport(r, Rider::air, air_);
        air_.factorise(r);
    }
    if (layout_.wet()) prepare_water();
}

/// Where air and nitrogen change places, what mixes between two cells may be many times what it is before a
/// step is over. A Jacobian that knows costs no order.
void Linearisation::look_ahead(int r, const State& dxdt) {
    const RiserNet& riser = net_.risers[at(r)];
    const int end = riser.first + riser.count;
    const double size = 1.0 / (shift_ * ros34pw2().gamma);
    // What mixes holds back what it changes.
    std::vector<double>& held = work_;
    for (int i = riser.first; i < end; ++i) held[at(i)] = moles_[at(i)] / size;
    for (int i = riser.first + 1; i < end; ++i) {
        held[at(i)] += steep_[at(i)];
        held[at(net_.parent[at(i)])] += steep_[at(i)];
    }
    for (int i = riser.first; i < end; ++i) {
        const double change = dxdt[layout_.air(i)] / held[at(i)];
        ahead_[at(i)] = std::clamp(flows_->fraction[at(i)] + change, 0.0, 1.0);
    }
    const MixingBatch& batch = flows_->mixing_batch[at(r)];
    batch.g_at(ahead_, room_, g_.data() + riser.first);
    for (int k = 1; k < riser.count; ++k) {
        const std::size_t i = at(riser.first + k);
        const double now = batch.g(k);  // water may leave a part of it
        if (g_[i] > now) steep_[i] += growth * (g_[i] / now - 1.0) * flows_->mixing[i];
    }
}

Flows::Face Linearisation::face(int node) const {
    const double flow = flows_->link[at(node)];
    if (!net_.any_resolved) return upwind(flow);
    Flows::Face by = flows_->face[at(node)];
    if (!for_long_steps_) return by;
    double& downstream = flow > 0.0 ? by.node : by.parent;
    const double excess = positive(downstream - most_downstream);
    downstream -= excess;
    (flow > 0.0 ? by.parent : by.node) += excess;
    return by;
}

void Linearisation::transport(int r, Rider rider, TreeMatrix& matrix) const {
    const bool air = rider == Rider::air;
    const RiserNet& riser = net_.risers[at(r)];
    const int end = riser.first + riser.count;
    for (int i = riser.first; i < end; ++i) {
        matrix.pivot[at(i)] = shift_ + positive(flows_->out[at(i)]) / moles_[at(i)];
    }
    for (int i = riser.first + 1; i < end; ++i) {
        const double flow = flows_->link[at(i)];
        const double g = air ? steep_[at(i)] : flows_->mixing[at(i)];
        const double skew = air ? flows_->mixing_skew[at(i)] : 0.0;
        const Flows::Face by = air ? faces_[at(i)] : upwind(flow);
        matrix.down[at(i)] = (flow * by.parent + g - skew) / moles_[at(net_.parent[at(i)])];
        matrix.up[at(i)] = (g - flow * by.node + skew) / moles_[at(i)];
        if (matrix.far.empty()) continue;
        matrix.far_node[at(i)] = by.far_node;
        matrix.far[at(i)] = by.far_node >= 0 ? flow * by.far / moles_[at(by.far_node)] : 0.0;
    }
    for (std::size_t k = 0; k < riser.loops.size(); ++k) {
        const double flow = flows_->loop[at(r)][k];
        const double g = air ? flows_->loop_mixing_slope[at(r)][k] : flows_->loop_mixing[at(r)][k];
        matrix.loops[at(r)][k] = {(positive(flow) + g) / moles_[at(riser.loops[k].first)],
                                  (negative(flow) - g) / moles_[at(riser.loops[k].second)]};
    }
}

void Linearisation::solve(const State& rhs, State& u) {
    if (layout_.wet()) solve_water(rhs, u);
    solve_gas(rhs, u);
    solve_source_air(rhs, u);
    for (int r = 0; r < layout_.risers; ++r) {
        const bool moves = gas_changes(r, u);
        solve_air(r, moves, rhs, u);
        solve_totals(r, moves, rhs, u);
    }
}

void Linearisation::solve_source_air(const State& rhs, State& u) const {
    const double moles = std::max(x_[Layout::source], least_moles);
    double drawn_air = 0.0;
    for (int r = 0; r < layout_.risers; ++r) {
        drawn_air += supply_change_[at(r)] * flows_->source_fraction;
        drawn_air -= flows_->risers[at(r)].supply * flows_->source_fraction * u[Layout::source] / moles;
    }
    u[Layout::source_air] = (rhs[Layout::source_air] - drawn_air) / source_air_diagonal_;
}

void Linearisation::solve_air(int r, bool moves, const State& rhs, State& u) {
    const RiserNet& riser = net_.risers[at(r)];
    const int end = riser.first + riser.count;
    for (int i = riser.first; i < end; ++i) work_[at(i)] = rhs[layout_.air(i)];
    const double source_moles = std::max(x_[Layout::source], least_moles);
    const double fraction_change =
        (u[Layout::source_air] - flows_->source_fraction * u[Layout::source]) / source_moles;
    work_[at(riser.first)] +=
        supply_change_[at(r)] * flows_->source_fraction + flows_->risers[at(r)].supply * fraction_change;
    if (moves) add_moved_air(r);
    air_.solve(r, work_);
    for (int i = riser.first; i < end; ++i) u[layout_.air(i)] = work_[at(i)];
}

/// What changes of the flows of gas, and of the gas that the air is part of, do to the air.
void Linearisation::add_moved_air(int r) {
    const RiserNet& riser = net_.risers[at(r)];
    const int end = riser.first + riser.count;
    for (int i = riser.first; i < end; ++i) {
        const double out = flows_->out[at(i)], change = out_change_[at(i)];
        work_[at(i)] -= out > 0.0 ? (change - out * relative_[at(i)]) * flows_->fraction[at(i)] : change;
    }
    // The air being what it is, more gas makes it thinner: dz = -z x relative.
    const auto thinner = [&](int node) { return relative_[at(node)] * flows_->fraction[at(node)]; };
    for (int i = riser.first + 1; i < end; ++i) {
        const int p = net_.parent[at(i)];
        const double flow = flows_->link[at(i)], here = thinner(i), there = thinner(p);
        const Flows::Face& by = faces_[at(i)];
        double carried_thinner = by.parent * there + by.node * here;
        if (by.far_node >= 0) carried_thinner += by.far * thinner(by.far_node);
        const double z = carried(flow, flows_->lean[at(i)], flows_->fraction[at(p)], flows_->fraction[at(i)]);
        const double change = link_change_[at(i)] * z - flow * carried_thinner -
                              steep_[at(i)] * (there - here) + flows_->mixing_skew[at(i)] * (there + here);
        work_[at(i)] += change;
        work_[at(p)] -= change;
    }
    for (std::size_t k = 0; k < riser.loops.size(); ++k) {
        const int a = riser.loops[k].first, b = riser.loops[k].second;
        const double flow = flows_->loop[at(r)][k];
        const double change =
            loop_change_[k] * carried(flow, 0.0, flows_->fraction[at(a)], flows_->fraction[at(b)]) -
            flow * carried(flow, 0.0, thinner(a), thinner(b)) -
            flows_->loop_mixing_slope[at(r)][k] * (thinner(a) - thinner(b));
        work_[at(a)] -= change;
        work_[at(b)] += change;
    }
}

void Linearisation::solve_totals(int r, bool moves, const State& rhs, State& u) const {
    const RiserNet& riser = net_.risers[at(r)];
    double out = 0.0, out_air = 0.0, vented = 0.0, vented_air = 0.0;
    for (int i = riser.first; i < riser.first + riser.count; ++i) {
        const double flow = flows_->out[at(i)], change = moves ? out_change_[at(i)] : 0.0;
        if (flow == 0.0 && change == 0.0) continue;
        const double z = flows_->fraction[at(i)], thinner = moves ? z * relative_[at(i)] : 0.0;
        const double air =
            flow > 0.0 ? change * z + flow * (u[layout_.air(i)] / moles_[at(i)] - thinner) : change;
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
