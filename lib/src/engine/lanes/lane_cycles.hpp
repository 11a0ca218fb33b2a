#pragma once

#include "engine/lanes/lane_memory.hpp"

namespace oxfade::engine::OXFADE_ISA {

/// While the receiver holds air: leg by leg of the source's cycle, until it repeats or the air is gone.
class LaneCycles : public LaneCruise {
  public:
    LaneCycles(const LaneBatch& batch, Arena& arena)
        : LaneCruise(batch, arena), memory_(batch, run_, node_, arena) {}
    static int memory(int nodes) { return LaneCruise::memory(nodes) + LaneMemory::memory(nodes); }
    bool run() { return carry_on(*this, LaneStatus::cycling); }
    void enter(int lane) {
        LaneCruise::enter(lane);
        memory_.forget(lane);
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
        memory_.end_of_leg(view_);
        switch_source(which & to_event);
        leave(which & (run_.time >= run_.duration), LaneStatus::done);
    }

  private:
    /// Just stopped with so little air that the cycle no longer matters for it.
    Mask clean() {
        const Mask stopped = (run_.machine == 0.0) & (run_.source == run_.stop);
        const Lane oxygen = run_.source_air / run_.source * magnitude(run_.oxygen_excess);
        const Mask go_on = run_.cycle_on != 0.0;
        run_.cycle_on = select(stopped, Lane{}, run_.cycle_on);
        const Lane supply = view_.supply[0], surplus = run_.nitrogen_flow - supply;
        const Lane period = (run_.stop - run_.start) * run_.nitrogen_flow / (supply * surplus);
        const Lane felt = least(broadcast(1.0), view_.link[0] * view_.inverse_moles[0] * period);
        const Mask little_left =
            oxygen * felt <= cruise_limits::little / cruise_limits::trace * trace_oxygen();
        const Mask pure = here_ & stopped & (surplus > 0.0) & ~go_on & little_left;
        run_.phase = select(pure, Lane{}, run_.phase);
        run_.drawn = select(pure, Lane{}, run_.drawn);
        return pure;
    }

    Lane leg_size() const {
        const Lane slope = most(magnitude(view_.made - view_.supply[0]), broadcast(1e-300));
        Lane size = least(limit(), cruise_limits::longest_series / rate_);
        size = least(size, cruise_limits::receiver_step * run_.source / slope);
        size = least(size, run_.source / most(view_.made, view_.supply[0]));
        const Lane low = select(run_.machine == 0.0, run_.start, run_.air_below);
        const Mask rises = view_.made > view_.supply[0];
        const Lane straight = select(rises, run_.stop - run_.source, run_.source - low) / slope;
        return least(size, straight * (1.0 + cruise_limits::aim_beyond));
    }

    /// Where the leg ends within the step; runs whose receiver may turn round are handed over.
    Lane leg_end(const Lane& size, Mask& to_event) {
        const Lane slope0 = view_.made - view_.supply[0], slope1 = view_.made - supply_at(size);
        const Mask one_way = (slope0 * slope1 > 0.0) & (magnitude(slope1 - slope0) < 0.5 * magnitude(slope0));
        const Mask falls = slope0 < 0.0, low_counts = run_.machine != 2.0;
        const Lane low = select(run_.machine == 0.0, run_.start, run_.air_below);
        leave(~one_way & ~stays_between(low, slope0, slope1, size), LaneStatus::handed_over);
        const Lane threshold = select(falls, low, run_.stop);
        const Lane content = run_.source + view_.made * size - drawn(size);
        to_event = select_mask(falls, low_counts & (content <= low), content >= run_.stop);
        Lane t = (threshold - run_.source) / slope0;
        for (int k = 0; k < 3; ++k) {
            t -= (run_.source + view_.made * t - drawn(t) - threshold) / (view_.made - supply_at(t));
        }
        return select(to_event, least(most(t, Lane{}), size), size);
    }
    /// Where the receiver may turn round, but comes near neither of its limits: slopes may go twice as far as
    /// they do.
    Mask stays_between(const Lane& low, const Lane& slope0, const Lane& slope1, const Lane& size) const {
        const Lane bend = magnitude(slope1 - slope0);
        const Lane least_slope = least(slope0, slope1) - bend, most_slope = most(slope0, slope1) + bend;
        return (run_.source + most(most_slope, Lane{}) * size < run_.stop) &
               (run_.source + least(least_slope, Lane{}) * size > low);
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
        const Mask stopped = which & (next == 0.0);
        if (any(stopped)) memory_.end_of_cycle(stopped, view_, moles_);
    }

    LaneMemory memory_;
};

}  // namespace oxfade::engine::OXFADE_ISA
