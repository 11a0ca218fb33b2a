#pragma once

#include "engine/lanes/lane_cruise.hpp"

namespace oxfade::engine::OXFADE_ISA {

/// Compares each run's cycle of the source with those before, and passes over many at once: cycle_memory.cpp.
class LaneMemory {
  public:
    LaneMemory(const LaneBatch& batch, LaneFields<Lane>& fields, LaneNode<Lane>* nodes, Arena& arena)
        : batch_(batch), run_(fields), node_(nodes) {
        Lane** rows[] = {&change_, &before_, &low_, &high_};
        for (Lane** row : rows) *row = arena.take(batch.nodes + 1);
    }
    static int memory(int nodes) { return 4 * (nodes + 1); }

    void forget(int lane) {
        run_.cycle_known[lane] = 0.0;
        gain_known_[lane] = drift_known_[lane] = 0.0;
        ratio_[lane] = -1.0;
    }

    void end_of_leg(const SeriesView<Lane>& view) {
        for (int i = 0; i < batch_.nodes; ++i) {
            low_[i] = least(low_[i], view.z[i]);
            high_[i] = most(high_[i], view.z[i]);
        }
    }

    /// The sources of these runs have just stopped.
    void end_of_cycle(const Mask& which, SeriesView<Lane>& view, const Lane* moles) {
        const Lane one = broadcast(1.0);
        const Mask known = (run_.cycle_known != 0.0) & (run_.crossings == run_.cycle_crossings);
        const Lane starts = run_.starts - run_.cycle_starts;
        const Mask comparable = which & known & (gain_known_ != 0.0) & (starts == starts_);
        period_ = run_.time - run_.cycle_time;
        drift_ = period_ - before_period_;
        for (int i = 0; i < batch_.nodes; ++i) change_[i] = view.z[i] - node_[i].cycle_fraction;
        change_[batch_.nodes] = (run_.source_air - run_.cycle_source_air) / run_.source;
        Fit fit{};
        if (any(comparable)) find(comparable, view, fit);
        const Mask passed = comparable & (fit.cycles > 0.0);
        if (any(passed)) {
            pass(which, passed, view, moles, fit);
        } else {
            for (const Total& total : totals_) keep(which, gain(total), this->*total.before);
        }
        keep(which, select(comparable, fit.ratio, broadcast(-1.0)), ratio_);
        keep(which, period_, before_period_);
        keep(which, drift_, before_drift_);
        keep(which, starts, starts_);
        keep(which, select(comparable, one, Lane{}), drift_known_);
        keep(which, select(known, one, Lane{}), gain_known_);
        for (int i = 0; i <= batch_.nodes; ++i) keep(which, change_[i], before_[i]);
        note(which, view);
    }

  private:
    struct Fit {
        Lane cycles, ratio, ahead, sum;
    };
    /// What grows from cycle to cycle: as it stands, as it stood a cycle ago, what the cycle before that
    /// added.
    struct Total {
        Lane LaneFields<Lane>::*now;
        Lane LaneFields<Lane>::*then;
        Lane LaneMemory::*before;
    };
    Lane gain(const Total& total) const { return run_.*total.now - run_.*total.then; }

    void find(const Mask& which, const SeriesView<Lane>& view, Fit& fit) const {
        Lane largest{}, product{}, square{};
        for (int i = 0; i <= batch_.nodes; ++i) {
            largest = most(largest, magnitude(change_[i]));
            product += change_[i] * before_[i];
            square += before_[i] * before_[i];
        }
        const Mask same = largest <= cruise_limits::repeats * batch_.relative_tolerance;
        Lane ratio = product / select(square > 0.0, square, broadcast(1.0));
        const Mask dies = (ratio >= 0.0) & (ratio < 1.0) & (square > 0.0);
        fit.ratio = select(dies, ratio, broadcast(-1.0));
        ratio = select(dies & ~same, ratio, Lane{});
        const Lane reach = ratio / (1.0 - ratio);
        const Lane limit = period_ + drift_ * reach;
        const Lane left = run_.duration - run_.time;
        const Lane times = whole(left / most(period_, limit)) - 1.0;
        const Mask exact = same & (magnitude(drift_) * times <= cruise_limits::exact_drift * period_);
        const Mask close = ~same & dies & (ratio_ >= 0.0) & (drift_known_ != 0.0) &
                           (largest * reach <= cruise_limits::most_to_come);
        const Mask hopeful = which & (times >= 1.0) & (exact | close);
        if (!any(hopeful)) return;
        Lane ahead = broadcast(1.0), slowest = view.link[0] * view.inverse_moles[0], decay{};
        for (int i = 0; i < batch_.nodes; ++i) {
            const Lane rate = view.link[i] * view.inverse_moles[i];
            slowest = select(change_[i] != 0.0, least(slowest, rate), slowest);
        }
        for (int lane = 0; lane < lanes; ++lane) {
            if (!hopeful[lane] || same[lane]) continue;
            ahead[lane] = __builtin_pow(ratio[lane], times[lane]);
            decay[lane] = __builtin_exp(-slowest[lane] * period_[lane]);
        }
        fit.ratio = select(dies | same, ratio, broadcast(-1.0));
        fit.ahead = ahead;
        fit.sum = reach * (1.0 - ahead);
        const Mask good = hopeful & (exact | error_allows(fit, times, decay));
        fit.cycles = select(good, times, Lane{});
    }

    /// Where neither the error is too large nor the target might be crossed.
    Mask error_allows(const Fit& fit, const Lane& times, const Lane& decay) const {
        const Lane own = least(1.0 / (1.0 - fit.ratio), times);
        const Lane growth = own * least(1.0 / (1.0 - decay), times);
        const Lane phase = magnitude(drift_ - fit.ratio * before_drift_) * growth * times / period_;
        Mask good = phase <= cruise_limits::most_phase_error * batch_.relative_tolerance;
        for (int i = 0; i <= batch_.nodes; ++i) {
            const bool source = i == batch_.nodes;
            const Lane rest = most(magnitude(change_[i] - fit.ratio * before_[i]),
                                   magnitude(change_[i] * (fit.ratio - ratio_)));
            const Lane then = source ? run_.cycle_source_air / run_.source : node_[i].cycle_fraction;
            const Lane scale = magnitude(then + change_[i]) + run_.composition_floor;
            good &= rest * growth <= cruise_limits::most_error * batch_.relative_tolerance * scale;
            if (source) break;
            const Lane swing = high_[i] - low_[i];
            good &= phase * swing <= cruise_limits::most_error * batch_.relative_tolerance * scale;
            const Lane margin = swing + 2.0 * magnitude(change_[i]) * own;
            good &= (low_[i] - margin >= run_.target_air) | (high_[i] + margin <= run_.target_air) |
                    (margin == 0.0);
        }
        return good;
    }

    /// Moves the runs on; what the last cycle added becomes what the last one passed over did.
    void pass(const Mask& stopped, const Mask& which, SeriesView<Lane>& view, const Lane* moles,
              const Fit& fit) {
        const Lane reach = fit.ratio / (1.0 - fit.ratio);
        const auto all = [&](Lane& value, const Lane& before) {
            const Lane limit = value + (value - before) * reach;
            const Lane added = fit.cycles * limit + fit.sum * (value - limit);
            value = select(which, limit + (value - limit) * fit.ahead, value);
            return select(which, added, Lane{});
        };
        Lane added[total_count];
        for (int k = 0; k < total_count; ++k) {
            Lane value = gain(totals_[k]);
            added[k] = all(value, this->*totals_[k].before);
            keep(stopped, value, this->*totals_[k].before);
        }
        const Lane time = all(period_, before_period_);
        const Lane still = select(which, fit.sum, Lane{}), next = select(which, fit.ahead, broadcast(1.0));
        Lane left = run_.air_flow * added[on_air] - still * change_[batch_.nodes] * run_.source;
        for (int i = 0; i < batch_.nodes; ++i) {
            left -= still * change_[i] * moles[i];
            view.z[i] += still * change_[i];
        }
        run_.source_air += still * change_[batch_.nodes] * run_.source;
        for (int i = 0; i <= batch_.nodes; ++i) change_[i] *= next;
        // The air that has left must be what came less what stays.
        const Lane found = added[vented_air] + added[leaked_air];
        const Lane scale =
            select(which & (found != 0.0), left / select(found != 0.0, found, left), broadcast(1.0));
        added[vented_air] *= scale;
        added[leaked_air] *= scale;
        for (int k = 0; k < total_count; ++k) run_.*totals_[k].now += added[k];
        run_.starts += select(which, fit.cycles * (run_.starts - run_.cycle_starts), Lane{});
        run_.time += time;
    }

    void note(const Mask& which, const SeriesView<Lane>& view) {
        keep(which, run_.time, run_.cycle_time);
        keep(which, run_.source_air, run_.cycle_source_air);
        keep(which, run_.crossings, run_.cycle_crossings);
        keep(which, run_.starts, run_.cycle_starts);
        keep(which, broadcast(1.0), run_.cycle_known);
        for (const Total& total : totals_) keep(which, run_.*total.now, run_.*total.then);
        for (int i = 0; i < batch_.nodes; ++i) {
            keep(which, view.z[i], node_[i].cycle_fraction);
            keep(which, view.z[i], low_[i]);
            keep(which, view.z[i], high_[i]);
        }
    }

    static void keep(const Mask& which, const Lane& value, Lane& kept) { kept = select(which, value, kept); }

    const LaneBatch& batch_;
    LaneFields<Lane>& run_;
    LaneNode<Lane>* node_;
    /// What this cycle changed, and the one before: nodes, then the receiver.
    Lane *change_ = nullptr, *before_ = nullptr;
    Lane *low_ = nullptr, *high_ = nullptr;  ///< since the last cycle ended
    Lane period_{}, before_period_{}, drift_{}, before_drift_{}, starts_{};
    Lane gain_known_{}, drift_known_{};
    Lane ratio_{};  ///< at the last cycle; none: negative
    Lane vented_{}, vented_air_{}, leaked_{}, leaked_air_{}, on_nitrogen_{}, on_air_{}, on_air_after_fill_{};

    enum { vented, vented_air, leaked, leaked_air, on_nitrogen, on_air, on_air_after_fill, total_count };
    using F = LaneFields<Lane>;
    const Total totals_[total_count] = {
        {&F::vented, &F::cycle_vented, &LaneMemory::vented_},
        {&F::vented_air, &F::cycle_vented_air, &LaneMemory::vented_air_},
        {&F::leaked, &F::cycle_leaked, &LaneMemory::leaked_},
        {&F::leaked_air, &F::cycle_leaked_air, &LaneMemory::leaked_air_},
        {&F::on_nitrogen, &F::cycle_on_nitrogen, &LaneMemory::on_nitrogen_},
        {&F::on_air, &F::cycle_on_air, &LaneMemory::on_air_},
        {&F::on_air_after_fill, &F::cycle_on_air_after_fill, &LaneMemory::on_air_after_fill_}};
};

}  // namespace oxfade::engine::OXFADE_ISA
