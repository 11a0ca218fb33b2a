#include "engine/wet_linearisation.hpp"

#include "engine/at.hpp"
#include "engine/uniform_dynamics.hpp"

namespace oxfade::engine {

WetLinearisation::WetLinearisation(const WetDynamics& dynamics)
    : Linearisation(dynamics), wet_(dynamics), plain_(net_), vapour_(net_) {
    for (auto* v : {&source_change_, &need_, &work_}) v->assign(at(layout_.nodes), 0.0);
    for (auto* v : {&group_gain_, &stiffness_}) v->assign(at(net_.zones), 0.0);
}

double WetLinearisation::slope(int zone) const {
    const WaterFlows& water = flows_->water;
    const double draught = water.draught[at(zone)];
    return draught != 0.0 ? water.out[at(zone)] * water.draught_slope[at(zone)] / draught : 0.0;
}

/// What a node's film takes back of a change of vapour: less where the film runs out on the way.
double WetLinearisation::film_fade(int node) const {
    return shift_ / (shift_ + flows_->water.film_by_film[at(node)]);
}

void WetLinearisation::prepare_gas() {
    source_diagonal_ = shift_;
    for (int r = 0; r < layout_.risers; ++r) {
        const Flows::OfRiser& f = flows_->risers[at(r)];
        const int entry = wet_.zone_begin(r);
        for (int z = entry; z < wet_.zone_end(r); ++z) stiffness_[at(z)] = 1.0;
        for (int z = entry; z < wet_.zone_end(r); ++z) {
            const int group = wet_.group(z);
            const double part = wet_.zone_volume(z) / wet_.group_volume(group);
            stiffness_[at(group)] += part * slope(z) / shift_;
        }
        if (holds(r)) {
            stiffness_[at(entry)] = 1.0;
            continue;
        }
        const double part = wet_.zone_volume(entry) / wet_.group_volume(entry);
        stiffness_[at(entry)] -= part * f.supply_slope_riser / shift_;
        source_diagonal_ +=
            f.supply_slope_source * (1.0 + part * f.supply_slope_riser / (shift_ * stiffness_[at(entry)]));
    }
}

void WetLinearisation::prepare_water() {
    const WaterFlows& water = flows_->water;
    for (int r = 0; r < layout_.risers; ++r) {
        transport(r, Rider::trace, plain_);
        plain_.factorise(r);
        transport(r, Rider::trace, vapour_);
        const RiserNet& riser = net_.risers[at(r)];
        for (int i = riser.first; i < riser.first + riser.count; ++i) {
            vapour_.pivot[at(i)] -= water.film_by_vapour[at(i)] * film_fade(i);
        }
        for (std::size_t s = 0; s < water.spots.size(); ++s) {
            if (net_.water[s].riser != r) continue;
            for (std::size_t side = 0; side < 2; ++side) {
                vapour_.pivot[at(water.spots[s].node[side])] -= water.spots[s].by_vapour[side];
            }
        }
        vapour_.factorise(r);
    }
}

void WetLinearisation::solve_water(const State& rhs, State& u) {
    std::fill(source_change_.begin(), source_change_.end(), 0.0);
    solve_liquids(rhs, u);
    for (int r = 0; r < layout_.risers; ++r) {
        solve_dissolving(r, Layout::oxygen, rhs, u);
        solve_dissolving(r, Layout::nitrogen, rhs, u);
        solve_vapour(r, rhs, u);
        solve_gone(r, rhs, u);
    }
}

/// What is dissolved, and a first value for the water itself.
void WetLinearisation::solve_liquids(const State& rhs, State& u) {
    for (int s = 0; s < layout_.spots; ++s) {
        const SpotFlows& spot = flows_->water.spots[at(s)];
        for (const auto which : {Layout::oxygen, Layout::nitrogen}) {
            const int entry = layout_.dissolved(s, which);
            u[entry] = rhs[entry] / (shift_ + spot.release[0] + spot.release[1]);
        }
        u[layout_.water(s)] = rhs[layout_.water(s)] / (shift_ + spot.by_water[0] + spot.by_water[1]);
    }
}

void WetLinearisation::solve_dissolving(int r, Layout::Trace which, const State& rhs, State& u) {
    const RiserNet& riser = net_.risers[at(r)];
    for (int i = riser.first; i < riser.first + riser.count; ++i) work_[at(i)] = rhs[layout_.trace(which, i)];
    for (int s = 0; s < layout_.spots; ++s) {
        if (net_.water[at(s)].riser != r) continue;
        const SpotFlows& spot = flows_->water.spots[at(s)];
        for (std::size_t side = 0; side < 2; ++side) {
            const double change = spot.release[side] * u[layout_.dissolved(s, which)];
            work_[at(spot.node[side])] += change;
            source_change_[at(spot.node[side])] += change;
        }
    }
    plain_.solve(r, work_);
    for (int i = riser.first; i < riser.first + riser.count; ++i) u[layout_.trace(which, i)] = work_[at(i)];
}

void WetLinearisation::solve_vapour(int r, const State& rhs, State& u) {
    const RiserNet& riser = net_.risers[at(r)];
    const WaterFlows& water = flows_->water;
    const auto fading = [&](int i) {
        return water.film_by_film[at(i)] / (shift_ + water.film_by_film[at(i)]) * rhs[layout_.film(i)];
    };
    for (int i = riser.first; i < riser.first + riser.count; ++i) {
        work_[at(i)] = rhs[layout_.trace(Layout::vapour, i)] + fading(i);
    }
    for (int s = 0; s < layout_.spots; ++s) {
        if (net_.water[at(s)].riser != r) continue;
        const SpotFlows& spot = water.spots[at(s)];
        for (std::size_t side = 0; side < 2; ++side) {
            work_[at(spot.node[side])] += spot.by_water[side] * u[layout_.water(s)];
        }
    }
    vapour_.solve(r, work_);
    for (int i = riser.first; i < riser.first + riser.count; ++i) {
        u[layout_.trace(Layout::vapour, i)] = work_[at(i)];
        const double change = water.film_by_vapour[at(i)] * film_fade(i) * work_[at(i)] + fading(i);
        source_change_[at(i)] += change;
        u[layout_.film(i)] = (rhs[layout_.film(i)] - change) / shift_;
    }
    for (int s = 0; s < layout_.spots; ++s) {
        if (net_.water[at(s)].riser != r) continue;
        const SpotFlows& spot = water.spots[at(s)];
        double& own = u[layout_.water(s)];
        double given = 0.0;
        for (std::size_t side = 0; side < 2; ++side) {
            const double change =
                spot.by_vapour[side] * work_[at(spot.node[side])] + spot.by_water[side] * own;
            source_change_[at(spot.node[side])] += change;
            given += change;
        }
        own = (rhs[layout_.water(s)] - given) / shift_;
    }
}

void WetLinearisation::solve_gone(int r, const State& rhs, State& u) const {
    const RiserNet& riser = net_.risers[at(r)];
    for (const auto which : {Layout::oxygen, Layout::nitrogen, Layout::vapour}) {
        double change = 0.0;
        for (int i = riser.first; i < riser.first + riser.count; ++i) {
            const double out = flows_->out[at(i)];
            if (out > 0.0) change += out / moles_[at(i)] * u[layout_.trace(which, i)];
        }
        u[layout_.gone(r, which)] = (rhs[layout_.gone(r, which)] + change) / shift_;
    }
}

void WetLinearisation::solve_gas(const State& rhs, State& u) {
    double right = rhs[Layout::source];
    for (int r = 0; r < layout_.risers; ++r) {
        const Flows::OfRiser& f = flows_->risers[at(r)];
        const RiserNet& riser = net_.risers[at(r)];
        const int entry = wet_.zone_begin(r);
        for (int z = entry; z < wet_.zone_end(r); ++z) group_gain_[at(z)] = 0.0;
        for (int i = riser.first; i < riser.first + riser.count; ++i) {
            group_gain_[at(wet_.group(net_.zone_of[at(i)]))] += source_change_[at(i)];
        }
        if (holds(r)) {
            // Where temperatures move, the regulator makes up for a pressure off its mark.
            const double part = wet_.zone_volume(entry) / wet_.group_volume(entry);
            const double making_up = f.asked_slope * rhs[2 + entry] / (shift_ - part * f.asked_slope);
            supply_change_[at(r)] = making_up - group_gain_[at(entry)];
            right -= supply_change_[at(r)];
            group_gain_[at(entry)] = making_up;  // its stiffness is 1
        }
        for (int z = entry; z < wet_.zone_end(r); ++z) {
            if (holds(r) && wet_.group(z) == entry) continue;
            group_gain_[at(wet_.group(z))] -= slope(z) * rhs[2 + z] / shift_;
        }
        if (holds(r)) continue;
        group_gain_[at(entry)] += f.supply_slope_riser * rhs[2 + entry] / shift_;
        const double part = wet_.zone_volume(entry) / wet_.group_volume(entry);
        right -= f.supply_slope_riser / shift_ *
                 (rhs[2 + entry] + part * group_gain_[at(entry)] / stiffness_[at(entry)]);
    }
    u[Layout::source] = right / source_diagonal_;
    for (int r = 0; r < layout_.risers; ++r) {
        const Flows::OfRiser& f = flows_->risers[at(r)];
        const int entry = wet_.zone_begin(r);
        if (!holds(r)) group_gain_[at(entry)] += f.supply_slope_source * u[Layout::source];
        for (int z = wet_.zone_end(r) - 1; z >= entry; --z) {
            const int group = wet_.group(z);
            const double gain = group_gain_[at(group)] / stiffness_[at(group)];
            u[2 + z] = (rhs[2 + z] + wet_.zone_volume(z) / wet_.group_volume(group) * gain) / shift_;
        }
        if (holds(r)) continue;
        supply_change_[at(r)] =
            f.supply_slope_source * u[Layout::source] + f.supply_slope_riser * u[2 + entry];
    }
}

bool WetLinearisation::gas_changes(int r, const State& u) {
    const RiserNet& riser = net_.risers[at(r)];
    const WaterFlows& water = flows_->water;
    const int entry = wet_.zone_begin(r);
    for (int i = riser.first; i < riser.first + riser.count; ++i) {
        const int zone = net_.zone_of[at(i)], group = wet_.group(zone);
        const double draught = water.draught[at(zone)];
        const bool held = holds(r) && group == entry;
        const double out_relative = held || draught == 0.0 ? 0.0 : water.draught_slope[at(zone)] / draught;
        out_change_[at(i)] = flows_->out[at(i)] * out_relative * u[2 + zone];
        relative_[at(i)] = u[2 + zone] / std::max(x_[2 + zone], least_moles);
        const double gain = group_gain_[at(group)] / stiffness_[at(group)];
        const double share = net_.gas_volume[at(i)] / wet_.group_volume(group);
        need_[at(i)] = share * gain + out_change_[at(i)] - source_change_[at(i)];
    }
    wet_.sweep(r, need_, link_change_);
    if (!riser.loops.empty()) close_loops(net_, riser, link_change_, loop_change_);
    return true;
}

}  // namespace oxfade::engine
