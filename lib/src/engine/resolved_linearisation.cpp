#include "engine/resolved_linearisation.hpp"

#include <algorithm>

#include "engine/at.hpp"

namespace oxfade::engine {

ResolvedLinearisation::ResolvedLinearisation(const ResolvedDynamics& dynamics)
    : Linearisation(dynamics),
      gas_(net_),
      response_(at(layout_.nodes), 0.0),
      right_(at(layout_.nodes), 0.0) {}

double ResolvedLinearisation::at_entry(int r, const std::vector<double>& b) const {
    return b[at(net_.risers[at(r)].first)];
}

void ResolvedLinearisation::prepare_gas() {
    source_diagonal_ = shift_;
    for (int r = 0; r < layout_.risers; ++r) {
        prepare_tree(r);
        if (holds(r)) continue;  // what the receiver gives then follows from the riser
        const RiserNet& riser = net_.risers[at(r)];
        std::fill_n(response_.begin() + riser.first, riser.count, 0.0);
        response_[at(riser.first)] = 1.0;
        gas_.solve(r, response_);
        const Flows::OfRiser& f = flows_->risers[at(r)];
        source_diagonal_ +=
            f.supply_slope_source + f.supply_slope_riser * f.supply_slope_source * at_entry(r, response_);
    }
}

void ResolvedLinearisation::prepare_tree(int r) {
    const RiserNet& riser = net_.risers[at(r)];
    for (int i = riser.first; i < riser.first + riser.count; ++i) {
        gas_.pivot[at(i)] = shift_ + flows_->out_slope[at(i)];
        gas_.down[at(i)] = flows_->link_slope[at(i)].from;
        gas_.up[at(i)] = -flows_->link_slope[at(i)].to;
    }
    for (std::size_t k = 0; k < riser.loops.size(); ++k) {
        const Flows::Slopes& slopes = flows_->loop_slope[at(r)][k];
        gas_.loops[at(r)][k] = {slopes.from, slopes.to};
    }
    double& entry = gas_.pivot[at(riser.first)];
    if (holds(r)) {
        entry = shift_ - flows_->risers[at(r)].asked_slope;
    } else {
        entry -= flows_->risers[at(r)].supply_slope_riser;
    }
    gas_.factorise(r, holds(r) ? TreeMatrix::Entry::held : TreeMatrix::Entry::free);
}

void ResolvedLinearisation::solve_gas(const State& rhs, State& u) {
    double right = rhs[Layout::source];
    for (int r = 0; r < layout_.risers; ++r) {
        const RiserNet& riser = net_.risers[at(r)];
        for (int i = riser.first; i < riser.first + riser.count; ++i) right_[at(i)] = rhs[layout_.gas(i)];
        gas_.solve(r, right_);
        if (!holds(r)) {
            right -= flows_->risers[at(r)].supply_slope_riser * at_entry(r, right_);
            continue;
        }
        for (int i = riser.first; i < riser.first + riser.count; ++i) u[layout_.gas(i)] = right_[at(i)];
        supply_change_[at(r)] = asked_change(r, u);
        right -= supply_change_[at(r)];
    }
    u[Layout::source] = right / source_diagonal_;
    for (int r = 0; r < layout_.risers; ++r) {
        if (holds(r)) continue;
        const RiserNet& riser = net_.risers[at(r)];
        const Flows::OfRiser& f = flows_->risers[at(r)];
        const double more = f.supply_slope_source * u[Layout::source];
        for (int i = riser.first; i < riser.first + riser.count; ++i) {
            u[layout_.gas(i)] = right_[at(i)] + more * response_[at(i)];
        }
        supply_change_[at(r)] = more + f.supply_slope_riser * u[layout_.riser(r)];
    }
}

double ResolvedLinearisation::asked_change(int r, const State& u) const {
    const RiserNet& riser = net_.risers[at(r)];
    const int entry = riser.first;
    double change =
        (flows_->out_slope[at(entry)] + flows_->risers[at(r)].asked_slope) * u[layout_.gas(entry)];
    for (int i = entry + 1; i < entry + riser.count; ++i) {
        if (net_.parent[at(i)] != entry) continue;
        const Flows::Slopes& slopes = flows_->link_slope[at(i)];
        change += slopes.from * u[layout_.gas(entry)] + slopes.to * u[layout_.gas(i)];
    }
    for (std::size_t k = 0; k < riser.loops.size(); ++k) {
        const LoopLink& loop = riser.loops[k];
        if (loop.first != entry && loop.second != entry) continue;
        const Flows::Slopes& slopes = flows_->loop_slope[at(r)][k];
        const double flow =
            slopes.from * u[layout_.gas(loop.first)] + slopes.to * u[layout_.gas(loop.second)];
        change += loop.first == entry ? flow : -flow;
    }
    return change;
}

bool ResolvedLinearisation::gas_changes(int r, const State& u) {
    const RiserNet& riser = net_.risers[at(r)];
    const int end = riser.first + riser.count;
    for (int i = riser.first; i < end; ++i) {
        const double change = u[layout_.gas(i)];
        relative_[at(i)] = change / std::max(x_[layout_.gas(i)], least_moles);
        out_change_[at(i)] = flows_->out_slope[at(i)] * change;
        if (i == riser.first) continue;
        const Flows::Slopes& slopes = flows_->link_slope[at(i)];
        link_change_[at(i)] = slopes.from * u[layout_.gas(net_.parent[at(i)])] + slopes.to * change;
    }
    for (std::size_t k = 0; k < riser.loops.size(); ++k) {
        const Flows::Slopes& slopes = flows_->loop_slope[at(r)][k];
        loop_change_[k] = slopes.from * u[layout_.gas(riser.loops[k].first)] +
                          slopes.to * u[layout_.gas(riser.loops[k].second)];
    }
    return true;
}

}  // namespace oxfade::engine
