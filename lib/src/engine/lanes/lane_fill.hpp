#pragma once

#include "engine/lanes/lane_crew.hpp"

namespace oxfade::engine::OXFADE_ISA {

/// Steps runs through the fill and on to where the regulator holds: simulation.cpp and switchboard.cpp for
/// one riser behind a generator, with vents that are open whenever they may be.
class LaneFill : private LaneCrew {
  public:
    LaneFill(const LaneBatch& batch, Arena& arena)
        : LaneCrew(batch, arena), stepper_(batch, run_, node_, arena) {}
    static int memory(int nodes) { return LaneCrew::memory(nodes) + LaneStepper::memory(nodes); }

    bool run() { return carry_on(*this, LaneStatus::stepping); }

    void enter(int lane) {
        Lane* x = stepper_.x;
        x[LaneStepper::source][lane] = run_.source[lane];
        x[LaneStepper::source_air][lane] = run_.source_air[lane];
        x[LaneStepper::riser][lane] = run_.riser[lane];
        x[LaneStepper::vented][lane] = run_.vented[lane];
        x[LaneStepper::vented_air][lane] = run_.vented_air[lane];
        x[LaneStepper::leaked][lane] = run_.leaked[lane];
        x[LaneStepper::leaked_air][lane] = run_.leaked_air[lane];
        for (int i = 0; i < batch_.nodes; ++i) x[LaneStepper::first_node + i][lane] = node_[i].air[lane];
        forced_[lane] = 0.0;
        fresh_ = false;
    }

    void part(int lane) {
        const Lane* x = stepper_.x;
        run_.source[lane] = x[LaneStepper::source][lane];
        run_.source_air[lane] = x[LaneStepper::source_air][lane];
        run_.riser[lane] = x[LaneStepper::riser][lane];
        run_.vented[lane] = x[LaneStepper::vented][lane];
        run_.vented_air[lane] = x[LaneStepper::vented_air][lane];
        run_.leaked[lane] = x[LaneStepper::leaked][lane];
        run_.leaked_air[lane] = x[LaneStepper::leaked_air][lane];
        for (int i = 0; i < batch_.nodes; ++i) node_[i].air[lane] = x[LaneStepper::first_node + i][lane];
    }

    void turn() {
        if (!fresh_) stepper_.refresh();
        fresh_ = true;
        const Lane size = select(forced_ > 0.0, forced_, attempt_size());
        forced_ = Lane{};
        stepper_.step(size);
        const Mask accepted = judge(size) & here_;
        leave(strange(accepted, size), LaneStatus::handed_over);
        Lane theta = broadcast(1.0);
        Mask moved = accepted;
        const Mask suspects = accepted & crossing(size);
        for (int lane = 0; lane < lanes; ++lane) {
            if (suspects[lane]) moved[lane] = find_event(lane, size[lane], theta) ? -1 : 0;
        }
        follow_targets(moved, size, theta);
        clock(moved, theta * size);
        run_.time = select(moved, run_.time + theta * size, run_.time);
        run_.time =
            select(magnitude(run_.time - run_.duration) <= 1e-12 * run_.duration, run_.duration, run_.time);
        stepper_.accept(moved & (theta == 1.0));
        for (int lane = 0; lane < lanes; ++lane) {
            if (!moved[lane] || theta[lane] == 1.0) continue;
            move_to(lane, theta[lane], size[lane]);
            settle(lane);
            fresh_ = false;
            if (run_.holding[lane] != 0.0) leave(lane, LaneStatus::cycling);
        }
        for (int lane = 0; lane < lanes; ++lane) {
            if (moved[lane] && run_.time[lane] >= run_.duration[lane]) leave(lane, LaneStatus::done);
        }
    }

  private:
    static constexpr double overshoot = 1e-3, near_the_end = 0.9, least_step = 1e-9, slack = 1e-10;
    static constexpr double hold_band = 1e-7, recover_excess = 1e-6;

    /// A threshold on one entry of the state: `sign` times what it holds above `threshold` rises through
    /// zero.
    template <class E>
    struct Guard {
        int entry;
        E sign, threshold;
    };
    Guard<Lane> source_guard() const {
        const Mask off = run_.machine == 0.0;
        return {LaneStepper::source, select(off, broadcast(-1.0), broadcast(1.0)),
                select(off, run_.start, run_.stop)};
    }
    Guard<Lane> fall_back_guard() const {
        return {LaneStepper::source, broadcast(-1.0),
                select(run_.machine == 1.0, run_.air_below, broadcast(-never))};
    }
    Guard<Lane> riser_guard() const {
        return {LaneStepper::riser, broadcast(1.0), select(run_.holding == 0.0, run_.set, broadcast(never))};
    }

    Lane attempt_size() const {
        Lane size = least(run_.wanted, run_.duration - run_.time);
        const Guard<Lane> guards[] = {source_guard(), fall_back_guard(), riser_guard()};
        for (const Guard<Lane>& g : guards) {
            const Lane slope = g.sign * stepper_.f[g.entry];
            const Lane value = g.sign * (stepper_.x[g.entry] - g.threshold);
            const Mask comes = (slope > 0.0) & (value < 0.0);
            const Lane until = -value / select(comes, slope, broadcast(1.0));
            size = select(comes, least(size, until * (1.0 + overshoot) + batch_.event_tolerance), size);
        }
        return most(size, broadcast(least_step));
    }

    /// Which steps are good, and what size they ask for next.
    Mask judge(const Lane& size) {
        Lane norm = stepper_.error_norm();
        constexpr int watched[] = {LaneStepper::source, LaneStepper::riser, LaneStepper::source_air};
        for (const int entry : watched) {
            norm = select(stepper_.f1[entry] - stepper_.f1[entry] == 0.0, norm, broadcast(1e6));
        }
        norm = select(norm <= 1e6, norm, broadcast(1e6));
        const Lane quarter = root(root(most(norm, broadcast(1e-12))));
        Lane factor = 0.9 / (quarter * root(root(quarter)));  // about the third root
        factor = least(most(factor, broadcast(0.2)), broadcast(5.0));
        const Mask good = norm <= 1.0;
        const Lane grown = select(size < run_.wanted, most(run_.wanted, size * factor), size * factor);
        run_.wanted = select(good, grown, size * least(factor, broadcast(0.9)));
        leave(run_.wanted < least_step, LaneStatus::handed_over);
        return good;
    }

    /// What only a run on its own knows how to handle.
    Mask strange(const Mask& accepted, const Lane& size) const {
        const Lane pressure = stepper_.x1[LaneStepper::riser] * run_.riser_pressure_per_mole;
        const Mask inward = pressure < run_.site_pressure * (1.0 - 1e-12);
        const Lane capacity = stepper_.capacity(true), asked = stepper_.asked(true);
        const Mask sags = (run_.holding != 0.0) & (capacity <= asked);
        // A supply that recovers at the set pressure holds at once; below it goes on until it is there again.
        // It dips by about what a parabola with the slopes at both ends does.
        const Mask wide = (run_.filling == 0.0) & (run_.holding == 0.0);
        const Mask at_set = stepper_.x[LaneStepper::riser] >= run_.set * (1.0 - slack);
        const Lane falls = most(-stepper_.f[LaneStepper::riser], Lane{}) * size;
        const Lane rises = most(stepper_.f1[LaneStepper::riser], Lane{}) * size;
        const Mask shallow = falls * falls <= 10.0 * slack * run_.set * (falls + rises);
        const Mask recovers = wide & at_set & (capacity > asked) & shallow;
        return accepted & (inward | sags | recovers);
    }

    Mask crossing(const Lane& size) const {
        Mask found{};
        const Guard<Lane> guards[] = {source_guard(), fall_back_guard(), riser_guard()};
        for (const Guard<Lane>& g : guards) {
            const Lane y0 = g.sign * (stepper_.x[g.entry] - g.threshold);
            const Lane y1 = g.sign * (stepper_.x1[g.entry] - g.threshold);
            const Lane d0 = g.sign * size * stepper_.f[g.entry], d1 = g.sign * size * stepper_.f1[g.entry];
            found |= ((y0 < 0.0) & ((y1 >= 0.0) | ((d0 > 0.0) & (d1 < 0.0)))) |
                     ((y0 >= 0.0) & (y1 >= 0.0) & (d0 < 0.0));
        }
        return found;
    }

    /// Sets theta to where the first event of a step lies; false when the step has to be repeated shorter.
    bool find_event(int lane, double size, Lane& theta) {
        double first = -1.0;
        const Guard<Lane> guards[] = {source_guard(), fall_back_guard(), riser_guard()};
        for (const Guard<Lane>& g : guards) {
            const double sign = g.sign[lane], threshold = g.threshold[lane];
            const double where = batch_.first_rise(sign * (stepper_.x[g.entry][lane] - threshold),
                                                   sign * (stepper_.x1[g.entry][lane] - threshold),
                                                   sign * size * stepper_.f[g.entry][lane],
                                                   sign * size * stepper_.f1[g.entry][lane]);
            if (where >= 0.0 && (first < 0.0 || where < first)) first = where;
        }
        if (first < 0.0 || first >= 1.0) {
            theta[lane] = first < 0.0 ? 1.0 : 1.0 - 1e-15;
            return true;
        }
        const double until = first * size;
        theta[lane] = first;
        if (first >= near_the_end || until <= 2.0 * batch_.event_tolerance) return true;
        forced_[lane] = until * (1.0 + overshoot);
        return false;
    }

    void follow_targets(const Mask& moved, const Lane& size, const Lane& theta) {
        for (int i = 0; i < batch_.nodes; ++i) {
            const Lane allowed = run_.target_air * node_[i].share;
            const int riser = LaneStepper::riser, air = LaneStepper::first_node + i;
            const Lane y0 = allowed * stepper_.x[riser] - stepper_.x[air];
            const Lane y1 = allowed * stepper_.x1[riser] - stepper_.x1[air];
            const Lane d0 = size * (allowed * stepper_.f[riser] - stepper_.f[air]);
            const Lane d1 = size * (allowed * stepper_.f1[riser] - stepper_.f1[air]);
            const Mask seen = moved & (((y0 >= 0.0) != (node_[i].at_target != 0.0)) | turns(y0, y1, d0, d1));
            if (!any(seen)) continue;
            for (int lane = 0; lane < lanes; ++lane) {
                if (!seen[lane]) continue;
                if ((y0[lane] >= 0.0) != (node_[i].at_target[lane] != 0.0)) flip(lane, i, run_.time[lane]);
                double where[3];
                const int count = batch_.sign_changes(y0[lane], y1[lane], d0[lane], d1[lane], where);
                for (int k = 0; k < count; ++k) {
                    if (where[k] <= theta[lane]) flip(lane, i, run_.time[lane] + size[lane] * where[k]);
                }
            }
        }
    }

    /// The state within the step, by its cubic.
    void move_to(int lane, double theta, double size) {
        const double w = theta * (theta - 1.0);
        for (int k = 0; k < stepper_.size(); ++k) {
            const double y0 = stepper_.x[k][lane], rise = stepper_.x1[k][lane] - y0;
            stepper_.x[k][lane] = y0 + (theta + w * (1.0 - 2.0 * theta)) * rise +
                                  w * (theta - 1.0) * size * stepper_.f[k][lane] +
                                  w * theta * size * stepper_.f1[k][lane];
        }
    }

    /// Switchboard's rules.
    void settle(int lane) {
        run_.step_on[lane] = 0.0;
        for (int pass = 0; pass < 20; ++pass) {
            const bool machine = machine_rules(lane);
            if (!(stage_rules(lane) || supply_rules(lane) || machine)) return;
        }
        leave(lane, LaneStatus::handed_over);
    }

    bool machine_rules(int lane) {
        const double moles = stepper_.x[LaneStepper::source][lane], machine = run_.machine[lane];
        const bool full = moles >= run_.stop[lane] * (1.0 - slack);
        double next = machine;
        if (machine == 0.0 && moles <= run_.start[lane] * (1.0 + slack)) next = 1.0;
        if (machine == 1.0 && moles <= run_.air_below[lane] * (1.0 + slack)) next = 2.0;
        if (machine != 0.0 && full) next = 0.0;
        if (next == machine) return false;
        if (machine == 0.0) run_.starts[lane] += 1.0;
        run_.machine[lane] = next;
        return true;
    }

    bool stage_rules(int lane) {
        const double moles = stepper_.x[LaneStepper::riser][lane], set = run_.set[lane];
        if (run_.filling[lane] == 0.0 || moles < set * (1.0 - slack)) return false;
        run_.filling[lane] = 0.0;
        run_.fill_end[lane] = run_.time[lane];
        if (moles > set * (1.0 + hold_band)) leave(lane, LaneStatus::handed_over);  // the regulator shuts
        return true;
    }

    bool supply_rules(int lane) {
        const double moles = stepper_.x[LaneStepper::riser][lane];
        if (run_.filling[lane] != 0.0 || run_.holding[lane] != 0.0) return false;
        if (moles < run_.set[lane] * (1.0 - slack)) return false;
        stepper_.refresh();
        const double capacity = stepper_.capacity(false)[lane], asked = stepper_.asked(false)[lane];
        if (!(capacity > asked * (1.0 + recover_excess))) return false;
        run_.holding[lane] = 1.0;
        return true;
    }

    LaneStepper stepper_;
    Lane forced_{};
    bool fresh_ = false;
};

}  // namespace oxfade::engine::OXFADE_ISA
