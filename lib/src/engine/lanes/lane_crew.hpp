#pragma once

#include "engine/lanes/lane_stepper.hpp"

namespace oxfade::engine::OXFADE_ISA {

/// The runs that are in the lanes, and what all stages do with them.
class LaneCrew {
  public:
    LaneCrew(const LaneBatch& batch, Arena& arena)
        : batch_(batch), node_(reinterpret_cast<LaneNode<Lane>*>(arena.take(batch.nodes * node_members))) {}
    static int memory(int nodes) { return nodes * node_members; }

  protected:
    static constexpr int members = static_cast<int>(sizeof(LaneFields<double>) / sizeof(double));
    static constexpr int node_members = static_cast<int>(sizeof(LaneNode<double>) / sizeof(double));
    static constexpr double never = 1e300;

    /// A run's numbers into a lane, and back.
    void load(int lane, int run) {
        const LaneRun& from = batch_.runs[run];
        copy_in(lane, reinterpret_cast<double*>(&run_), reinterpret_cast<const double*>(&from.fields),
                members);
        copy_in(lane, reinterpret_cast<double*>(node_), reinterpret_cast<const double*>(from.nodes),
                node_members * batch_.nodes);
        occupant_[lane] = run;
    }
    void save(int lane, LaneStatus status) {
        LaneRun& to = batch_.runs[occupant_[lane]];
        copy_out(lane, reinterpret_cast<const double*>(&run_), reinterpret_cast<double*>(&to.fields),
                 members);
        copy_out(lane, reinterpret_cast<const double*>(node_), reinterpret_cast<double*>(to.nodes),
                 node_members * batch_.nodes);
        to.status = status;
        occupant_[lane] = -1;
    }

    /// Where each lane's run goes next; `stays` while it remains in this stage.
    static constexpr int stays = -1;
    void leave(int lane, LaneStatus status) {
        if (!here_[lane]) return;
        next_[lane] = static_cast<int>(status);
        here_[lane] = 0;
    }
    void leave(const Mask& which, LaneStatus status) {
        if (!any(which & here_)) return;
        for (int lane = 0; lane < lanes; ++lane) {
            if (which[lane]) leave(lane, status);
        }
    }

    /// Keeps the lanes full of runs of a status until there are none left; false when told to stop.
    template <class Stage>
    bool carry_on(Stage& stage, LaneStatus status) {
        int next_run = 0;
        const auto fill = [&](int lane) {
            while (next_run < batch_.count && batch_.runs[next_run].status != status) ++next_run;
            if (next_run >= batch_.count) return;
            load(lane, next_run++);
            stage.enter(lane);
            next_[lane] = stays;
            here_[lane] = -1;
        };
        for (int lane = 0; lane < lanes; ++lane) fill(lane);
        if (!any(here_)) return true;
        for (int lane = 1; lane < lanes; ++lane) {
            if (occupant_[lane] >= 0) continue;
            load(lane, occupant_[0]);  // numbers that make sense, for a lane that stays empty
            stage.enter(lane);
            occupant_[lane] = -1;
        }
        for (int turn = 0; any(here_); ++turn) {
            if (turn % 256 == 255 && !batch_.go_on(batch_.context)) return false;
            run_.steps += 1.0;
            stage.turn();
            leave(run_.steps > batch_.most_steps, LaneStatus::handed_over);
            for (int lane = 0; lane < lanes; ++lane) {
                if (occupant_[lane] < 0 || here_[lane]) continue;
                stage.part(lane);
                save(lane, static_cast<LaneStatus>(next_[lane]));
                fill(lane);
            }
        }
        return true;
    }

    /// As SourceClock::run for runs that go on by a time.
    void clock(const Mask& which, const Lane& dt) {
        const Lane machine = run_.machine, one = broadcast(1.0);
        const Mask air = machine == 2.0, filled = which & (run_.filling == 0.0);
        run_.stopped_after_fill = select(filled & ~air, one, run_.stopped_after_fill);
        const Mask air_begins = which & air & (run_.last_machine != 2.0);
        run_.air_counts =
            select(air_begins, select(filled, run_.stopped_after_fill, Lane{}), run_.air_counts);
        run_.on_air += select(which & air, dt, Lane{});
        run_.on_air_after_fill += select(which & air & (run_.air_counts != 0.0), dt, Lane{});
        run_.on_nitrogen += select(which & (machine == 1.0), dt, Lane{});
        run_.last_machine = select(which, machine, run_.last_machine);
    }

    void flip(int lane, int node, double time) {
        LaneNode<Lane>& n = node_[node];
        n.at_target[lane] = 1.0 - n.at_target[lane];
        if (n.at_target[lane] != 0.0) n.since[lane] = time;
        run_.crossings[lane] += 1.0;
    }

    static Mask turns(const Lane& y0, const Lane& y1, const Lane& d0, const Lane& d1) {
        const Mask below = y0 < 0.0;
        return (below != (y1 < 0.0)) | (below & (d0 > 0.0) & (d1 < 0.0)) | (~below & (d0 < 0.0) & (d1 > 0.0));
    }

    const LaneBatch& batch_;
    LaneFields<Lane> run_{};
    LaneNode<Lane>* node_;
    Mask here_{};  ///< lanes whose run has not left the stage

  private:
    static void copy_in(int lane, double* to, const double* from, int count) {
        for (int k = 0; k < count; ++k) to[k * lanes + lane] = from[k];
    }
    static void copy_out(int lane, const double* from, double* to, int count) {
        for (int k = 0; k < count; ++k) to[k] = from[k * lanes + lane];
    }

    int occupant_[lanes]{-1, -1, -1, -1, -1, -1, -1, -1};
    int next_[lanes]{};
};

}  // namespace oxfade::engine::OXFADE_ISA
