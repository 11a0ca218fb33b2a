#include "engine/uniform_linearisation.hpp"

#include "engine/at.hpp"

namespace oxfade::engine {
namespace {

/// How the flow through all holes of a riser changes with its moles, over that flow.
double relative_slope(const Flows::OfRiser& f) {
    return f.draught != 0.0 ? f.draught_slope / f.draught : 0.0;
}

}  // namespace

UniformLinearisation::UniformLinearisation(const UniformDynamics& dynamics)
    : Linearisation(dynamics), riser_diagonal_(net_.risers.size(), 1.0), need_(at(layout_.nodes), 0.0) {}

void UniformLinearisation::prepare_gas() {
    source_diagonal_ = shift_;
    for (int r = 0; r < layout_.risers; ++r) {
        const Flows::OfRiser& f = flows_->risers[at(r)];
        if (holds(r)) {  // its moles change with the temperature alone
            riser_diagonal_[at(r)] = shift_ - f.asked_slope;
            continue;
        }
        riser_diagonal_[at(r)] = shift_ - f.supply_slope_riser + f.out * relative_slope(f);
        source_diagonal_ +=
            f.supply_slope_source + f.supply_slope_riser * f.supply_slope_source / riser_diagonal_[at(r)];
    }
}

void UniformLinearisation::solve_gas(const State& rhs, State& u) {
    double right = rhs[Layout::source];
    for (int r = 0; r < layout_.risers; ++r) {
        const Flows::OfRiser& f = flows_->risers[at(r)];
        const double slope = holds(r) ? f.asked_slope : f.supply_slope_riser;
        right -= slope * rhs[layout_.riser(r)] / riser_diagonal_[at(r)];
    }
    u[Layout::source] = right / source_diagonal_;
    for (int r = 0; r < layout_.risers; ++r) {
        const Flows::OfRiser& f = flows_->risers[at(r)];
        const int entry = layout_.riser(r);
        if (holds(r)) {
            u[entry] = rhs[entry] / riser_diagonal_[at(r)];
            supply_change_[at(r)] = f.asked_slope * u[entry];
        } else {
            u[entry] = (rhs[entry] + f.supply_slope_source * u[Layout::source]) / riser_diagonal_[at(r)];
            supply_change_[at(r)] =
                f.supply_slope_source * u[Layout::source] + f.supply_slope_riser * u[entry];
        }
    }
}

bool UniformLinearisation::gas_changes(int r, const State& u) {
    const RiserNet& riser = net_.risers[at(r)];
    const Flows::OfRiser& f = flows_->risers[at(r)];
    const double riser_change = u[layout_.riser(r)];
    if (riser_change == 0.0 && supply_change_[at(r)] == 0.0) return false;
    const double relative = riser_change / moles_in_riser_vessel(r);
    const double out_relative = holds(r) ? 0.0 : relative_slope(f) * riser_change;
    const double gain_change = supply_change_[at(r)] - f.out * out_relative;
    const bool swollen = x_[layout_.riser(r)] > riser.knee;
    const std::vector<double>& takes = swollen ? net_.swell : net_.share;
    for (int i = riser.first; i < riser.first + riser.count; ++i) {
        const double change = flows_->out[at(i)] * out_relative;
        relative_[at(i)] = swollen ? takes[at(i)] * riser_change / moles_[at(i)] : relative;
        out_change_[at(i)] = change;
        need_[at(i)] = takes[at(i)] * gain_change + change;
    }
    sweep_flows(net_, riser, need_, link_change_);
    if (!riser.loops.empty()) close_loops(net_, riser, link_change_, loop_change_);
    return true;
}

}  // namespace oxfade::engine
