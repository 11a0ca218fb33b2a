#pragma once

#include "engine/lanes/lane_cruise.hpp"

namespace oxfade::engine::OXFADE_ISA {

/// While next to nothing but product comes in: the piping in steps of its own, and the source's cycles
/// counted from what it draws (whole_cycles.hpp), from one stop of the source to the end of the run.
class LanePure : public LaneCruise {
  public:
    using LaneCruise::LaneCruise;
    bool run() {
        view_.steady = true;
        return carry_on(*this, LaneStatus::pure);
    }
    void enter(int lane) {
        LaneCruise::enter(lane);
        const double ratio = run_.stop[lane] / run_.start[lane];
        view_.steady_inverse[lane] = __builtin_log(ratio) / (run_.stop[lane] - run_.start[lane]);
    }

    void turn() {
        // The source's own mode does not matter but for what the supply has to bear: the lowest content.
        run_.machine = broadcast(1.0);
        run_.source = run_.start;
        start();
        flush_source();
        const Lane oxygen = highest_fraction() * magnitude(run_.oxygen_excess);
        const Mask airy = run_.source_air != 0.0, traces = ~airy & (oxygen <= trace_oxygen());
        if (any(traces & here_)) flush(traces & here_);
        Lane size = select(traces, limit(), least(limit(), cruise_limits::longest_pure_series / rate_));
        const Lane renewal = view_.supply[0] * view_.steady_inverse;
        size = select(airy, least(size, cruise_limits::longest_pure_series / renewal), size);
        expand(size, !any(airy & here_));
        supply_now_ = view_.supply[0];
        slope_now_ = supply_slope_at(Lane{});
        const Mask unsteady = ~counts(size);
        run_.cycle_on = select(here_ & unsteady, broadcast(1.0), run_.cycle_on);
        leave(unsteady, LaneStatus::cycling);
        const Mask which = here_;
        follow_targets(which, size);
        count_cycles(which, size);
        finish(which, size);
        run_.source_air = select(which, view_.source_air, run_.source_air);
        supply_now_ = select(which, supply_at(size), supply_now_);
        slope_now_ = select(which, supply_slope_at(size), slope_now_);
        run_.time = select(which, after(size), run_.time);
        leave(which & (run_.time >= run_.duration), LaneStatus::done);
    }

    void part(int lane) {
        place_source(lane, supply_now_[lane], slope_now_[lane]);
        LaneCruise::part(lane);
    }

  private:
    Lane highest_fraction() const {
        Lane highest{};
        for (int i = 0; i < batch_.nodes; ++i)
            highest = most(highest, select(view_.link[i] > 0.0, magnitude(view_.z[i]), Lane{}));
        return highest;
    }

    /// Hands a trace of air left in the receiver to the riser at once.
    void flush_source() {
        const Lane oxygen = run_.source_air * view_.steady_inverse * magnitude(run_.oxygen_excess);
        const Mask ready = oxygen <= trace_oxygen();
        view_.z[0] += select(ready, run_.source_air * view_.inverse_moles[0], Lane{});
        run_.source_air = select(ready, Lane{}, run_.source_air);
        view_.source_air = run_.source_air;
    }

    void flush(const Mask& which) {
        for (int i = 0; i < batch_.nodes; ++i) {
            const Mask passed = which & (view_.link[i] > 0.0);
            run_.leaked_air += select(passed, view_.z[i] * moles_[i], Lane{});
            view_.z[i] = select(passed, Lane{}, view_.z[i]);
        }
    }

    /// Where the demand changes slowly enough for the cycles to be counted, and is below what the source
    /// makes.
    Mask counts(const Lane& size) const {
        const Lane made = run_.nitrogen_flow, depth = run_.stop - run_.start;
        const Lane first = view_.supply[0], last = supply_at(size);
        const Lane low = least(first, last), high = most(first, last);
        const Lane slope = most(magnitude(supply_slope_at(Lane{})), magnitude(supply_slope_at(size)));
        const Lane relative = 1.0 / low + 1.0 / (made - high);
        const Lane longest =
            most(depth * made / (first * (made - first)), depth * made / (last * (made - last)));
        return (low > 0.0) & (high < made) &
               (slope * longest * relative * slope * size * relative <= cruise_limits::most_counting_error);
    }

    void count_cycles(const Mask& which, const Lane& size) {
        constexpr double point[5] = {-0.906179845938664, -0.538469310105683, 0.0, 0.538469310105683,
                                     0.906179845938664};
        constexpr double weight[5] = {0.236926885056189, 0.478628670499366, 0.568888888888889,
                                      0.478628670499366, 0.236926885056189};
        const Lane made = run_.nitrogen_flow, depth = run_.stop - run_.start;
        Lane sum{};
        for (int k = 0; k < 5; ++k) {
            const Lane supply = supply_at(0.5 * size * (1.0 + point[k]));
            sum += weight[k] * supply * (made - supply);
        }
        const Lane change = supply_at(size) - view_.supply[0];
        const Lane cycles = 0.5 * size * sum / (made * depth) - 0.5 * change / made;
        run_.phase += select(which, cycles, Lane{});
        run_.drawn += select(which, drawn(size), Lane{});
    }

    /// From the cycles that have passed to what the source does now and has done, demand and its slope given.
    void place_source(int lane, double supply, double slope) {
        const double made = run_.nitrogen_flow[lane], depth = run_.stop[lane] - run_.start[lane];
        const double count = __builtin_floor(run_.phase[lane]), rest = run_.phase[lane] - count;
        const auto drawn_in = [&](double time) { return time * (supply - 0.5 * slope * time); };  // until now
        const auto pace = [&](double back) {
            const double then = supply - slope * back;
            return then * (made - then) / (made * depth);
        };
        double back = rest / pace(0.0);  // since the last whole cycle
        for (int k = 0; k < 3; ++k) {
            const double phase =
                back * (pace(0.0) + 4.0 * pace(0.5 * back) + pace(back)) / 6.0 - 0.5 * slope * back / made;
            back += (rest - phase) / pace(back);
        }
        if (!(back > 0.0)) back = 0.0;
        double off = depth / (supply - slope * back);
        for (int k = 0; k < 3; ++k) off = depth / (supply - slope * (back - 0.5 * off));
        run_.on_nitrogen[lane] += (run_.drawn[lane] - drawn_in(back)) / made;
        run_.starts[lane] += count;
        run_.machine[lane] = 0.0;
        run_.source[lane] = run_.stop[lane] - drawn_in(back);
        if (off < back) {
            const double on = back - off;
            run_.on_nitrogen[lane] += on;
            run_.starts[lane] += 1.0;
            run_.machine[lane] = 1.0;
            run_.source[lane] += made * on;
        }
        run_.phase[lane] = run_.drawn[lane] = 0.0;
        run_.last_machine[lane] = run_.machine[lane];
    }

    Lane supply_now_{}, slope_now_{};  ///< what is drawn at run_.time [mol/s], [mol/s2]
};

}  // namespace oxfade::engine::OXFADE_ISA
