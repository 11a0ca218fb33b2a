#pragma once

#include "engine/lanes/lane_cruise.hpp"

namespace oxfade::engine::OXFADE_ISA {

/// While the receiver holds air: leg by leg of the source's cycle, until it repeats or the air is gone.
class LaneCycles : public LaneCruise {
  public:
    using LaneCruise::LaneCruise;
    bool run() { return carry_on(*this, LaneStatus::cycling); }
    void enter(int lane) {
        LaneCruise::enter(lane);
        run_.cycle_known[lane] = 0.0;
    }

    void turn() {
        start();
        leave(clean(), LaneStatus::pure);
        const Lane size = leg_size();
        expand(size, false);
        Mask to_event{};
        const Lane end = leg_end(size, to_event);
        const Mask which = here_;
        follow_targets(which, end);
        finish(which, end);
        run_.source = select(which, run_.source + view_.made * end - drawn(end), run_.source);
        run_.source_air = select(which, view_.source_air, run_.source_air);
        clock(which, end);
        run_.time = select(which, after(end), run_.time);
        switch_source(which & to_event);
        leave(which & (run_.time >= run_.duration), LaneStatus::done);
    }

  private:
    static constexpr double longest_step = 1.0, repeats = 1e-4, phase_drift = 1e-7;

    /// Just stopped with no more than a trace of air, which goes to the riser at once.
    Mask clean() {
        const Mask stopped = (run_.machine == 0.0) & (run_.source == run_.stop);
        const Lane oxygen = run_.source_air / run_.source * magnitude(run_.oxygen_excess);
        const Mask go_on = run_.cycle_on != 0.0;
        run_.cycle_on = select(stopped, Lane{}, run_.cycle_on);
        const Mask pure = here_ & stopped & ~go_on & (oxygen <= trace_oxygen());
        view_.z[0] += select(pure, run_.source_air * view_.inverse_moles[0], Lane{});
        run_.source_air = select(pure, Lane{}, run_.source_air);
        run_.phase = select(pure, Lane{}, run_.phase);
        run_.drawn = select(pure, Lane{}, run_.drawn);
        return pure;
    }

    Lane leg_size() const {
        const Lane slope = most(magnitude(view_.made - view_.supply[0]), broadcast(1e-300));
        Lane size = least(limit(), longest_step / rate_);
        size = least(size, receiver_step * run_.source / slope);
        size = least(size, run_.source / most(view_.made, view_.supply[0]));
        const Lane low = select(run_.machine == 0.0, run_.start, run_.air_below);
        const Mask rises = view_.made > view_.supply[0];
        const Lane straight = select(rises, run_.stop - run_.source, run_.source - low) / slope;
        return least(size, straight * (1.0 + aim_beyond));
    }

    /// Where the leg ends within the step; runs whose receiver may turn round are handed over.
    Lane leg_end(const Lane& size, Mask& to_event) {
        const Lane slope0 = view_.made - view_.supply[0], slope1 = view_.made - supply_at(size);
        const Mask one_way = (slope0 * slope1 > 0.0) & (magnitude(slope1 - slope0) < 0.5 * magnitude(slope0));
        leave(~one_way, LaneStatus::handed_over);
        const Mask falls = slope0 < 0.0, low_counts = run_.machine != 2.0;
        const Lane low = select(run_.machine == 0.0, run_.start, run_.air_below);
        const Lane threshold = select(falls, low, run_.stop);
        const Lane content = run_.source + view_.made * size - drawn(size);
        to_event = select_mask(falls, low_counts & (content <= low), content >= run_.stop);
        Lane t = (threshold - run_.source) / slope0;
        for (int k = 0; k < 3; ++k) {
            t -= (run_.source + view_.made * t - drawn(t) - threshold) / (view_.made - supply_at(t));
        }
        return select(to_event, least(most(t, Lane{}), size), size);
    }
    static Mask select_mask(const Mask& which, const Mask& yes, const Mask& no) {
        return (which & yes) | (~which & no);
    }

    void switch_source(const Mask& which) {
        const Mask off = run_.machine == 0.0, rises = view_.made > view_.supply[0];
        const Lane next = select(rises, Lane{}, select(off, broadcast(1.0), broadcast(2.0)));
        run_.starts += select(which & off, broadcast(1.0), Lane{});
        const Lane threshold = select(rises, run_.stop, select(off, run_.start, run_.air_below));
        run_.machine = select(which, next, run_.machine);
        // Exactly there: what is left of Newton's iteration is below the rounding of the balances.
        run_.source = select(which, threshold, run_.source);
        note_cycle(which & (next == 0.0));
    }

    /// At the moment the source stops: compares with the last such moment, and passes over what repeats.
    void note_cycle(const Mask& which) {
        if (!any(which)) return;
        Lane change = magnitude(run_.source_air - run_.cycle_source_air) / run_.source;
        for (int i = 0; i < batch_.nodes; ++i)
            change = most(change, magnitude(view_.z[i] - node_[i].cycle_fraction));
        const Lane period = run_.time - run_.cycle_time;
        const Lane times = whole(run_.duration / period - run_.time / period) - 1.0;
        const Lane drift = magnitude(period - run_.cycle_period) * times;
        const Mask known = (run_.cycle_known != 0.0) & (run_.crossings == run_.cycle_crossings);
        const Mask same = which & known & (change <= repeats * batch_.relative_tolerance) &
                          (drift <= phase_drift * period) & (times >= 1.0);
        keep(which, select(run_.cycle_known != 0.0, period, Lane{}), run_.cycle_period);
        repeat(same, times, run_.vented, run_.cycle_vented);
        repeat(same, times, run_.vented_air, run_.cycle_vented_air);
        repeat(same, times, run_.leaked, run_.cycle_leaked);
        repeat(same, times, run_.leaked_air, run_.cycle_leaked_air);
        repeat(same, times, run_.on_nitrogen, run_.cycle_on_nitrogen);
        repeat(same, times, run_.on_air, run_.cycle_on_air);
        repeat(same, times, run_.on_air_after_fill, run_.cycle_on_air_after_fill);
        repeat(same, times, run_.starts, run_.cycle_starts);
        run_.time += select(same, times * period, Lane{});
        keep(which, run_.time, run_.cycle_time);
        keep(which, run_.source_air, run_.cycle_source_air);
        keep(which, run_.crossings, run_.cycle_crossings);
        for (int i = 0; i < batch_.nodes; ++i) keep(which, view_.z[i], node_[i].cycle_fraction);
        keep(which, select(same, Lane{}, broadcast(1.0)), run_.cycle_known);
        keep(which, run_.vented, run_.cycle_vented);
        keep(which, run_.vented_air, run_.cycle_vented_air);
        keep(which, run_.leaked, run_.cycle_leaked);
        keep(which, run_.leaked_air, run_.cycle_leaked_air);
        keep(which, run_.on_nitrogen, run_.cycle_on_nitrogen);
        keep(which, run_.on_air, run_.cycle_on_air);
        keep(which, run_.on_air_after_fill, run_.cycle_on_air_after_fill);
        keep(which, run_.starts, run_.cycle_starts);
    }
    static void repeat(const Mask& which, const Lane& times, Lane& value, const Lane& before) {
        value += select(which, times * (value - before), Lane{});
    }
    static void keep(const Mask& which, const Lane& value, Lane& kept) { kept = select(which, value, kept); }
};

}  // namespace oxfade::engine::OXFADE_ISA
