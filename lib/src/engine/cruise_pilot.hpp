#pragma once

#include <functional>

#include "engine/cruise.hpp"
#include "engine/cycle_memory.hpp"
#include "engine/exposure.hpp"
#include "engine/recorder.hpp"
#include "engine/switchboard.hpp"
#include "oxfade/engine/predict.hpp"

namespace oxfade::engine {

/// Flies the cruise: carries a run on while all risers hold, source cycles counted rather than stepped
/// through.
///
/// While the receiver holds any air, each leg of the source's cycle is one or a few series; once a whole
/// cycle repeats the one before, as many as fit are passed over at once. When the receiver holds pure product
/// the piping does not feel the cycle at all: it goes in steps of its own, and the cycle is worked out from
/// what it draws.
class CruisePilot {
  public:
    CruisePilot(Dynamics& dynamics, Switchboard& switches, TargetWatch& targets, HistoryRecorder& history,
                SourceClock& clock, ExposureMeter& exposure, outcome::Effort& effort,
                double relative_tolerance, std::function<void()> heartbeat);

    /// Carries time and state on as far as it can; false when it could not start at all. Dates due, sagging
    /// and vents that wait for the target are left to the caller.
    /// @param until the next date that something happens on [s]
    bool run(double& time, State& x, double until);
    /// Takes in settings that have changed.
    void refresh();

  private:
    struct Leg {
        bool to_event = false;
        double end = 0.0;  ///< within the step [s]
        Machine next = Machine::off;
    };
    bool supplies_hold() const;
    bool laborious(bool pure) const;
    bool source_flips() const;
    double capacity(int r, double source_moles) const;
    double traces() const;  ///< oxygen fraction that counts as none
    bool clean_source();
    bool nearly_clean_source() const;
    double limit() const;
    double making(Machine machine) const;
    double content(double moles, Machine machine, double from, double to) const;
    double longest_step(double series) const;
    bool cycle_leg(State& x);
    bool pure_stretch(State& x);
    double walk_cycles(double size, State& x);
    Leg find_event(double from, double moles, double size, Machine machine) const;
    bool target_comes(double t) const;
    void follow_targets(double size);
    void change(Machine next);
    void note_cycle();
    double next_row(double begin, double size) const;
    void write_rows(double begin, double from, double to, double moles, State& x);
    void write_row(State& x);
    double made() const;

    const Network& net_;
    Switchboard& switches_;
    TargetWatch& targets_;
    HistoryRecorder& history_;
    SourceClock& clock_;
    ExposureMeter& exposure_;
    outcome::Effort& effort_;
    std::function<void()> heartbeat_;  ///< called once a series: progress, and the bound on steps
    CruiseSeries series_;
    double tolerance_;  ///< relative
    CycleMemory cycles_;
    bool possible_;
    double mean_source_ = 1.0;  ///< content whose inverse is the mean over a cycle [mol]
    bool averaging_ = false;    ///< the source's cycle no longer matters for the little air left in it
    double time_ = 0.0;
    double stop_at_ = 0.0;
    std::vector<double> capacity_start_, capacity_air_below_;
    std::vector<int> waiting_;  ///< risers with a vent that waits for the target
};

}  // namespace oxfade::engine
