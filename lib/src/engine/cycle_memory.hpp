#pragma once

#include <vector>

#include "engine/cruise.hpp"
#include "engine/recorder.hpp"

namespace oxfade::engine {

/// Compares one cycle of the source with those before, and passes over many at once.
///
/// From one stop of the source to the next, compositions change by a map that is linear but for the small
/// part that they have in the flows. When one mode of it is left, what a cycle changes is `ratio` times what
/// the last one did, and all cycles to come are a geometric series. What does not fit that is an error: it
/// is bounded by how slowly the slowest compartment could make it die out.
class CycleMemory {
  public:
    CycleMemory(const Network& net, double relative_tolerance);

    /// Something else than whole cycles has happened.
    void forget();
    /// A leg of a cycle has ended.
    void end_of_leg(const CruiseSeries& series);

    struct Moment {
        double time = 0.0;  ///< [s]
        SourceClock::Reading clock;
        int starts = 0;
        long crossings = 0;  ///< of the target, of all nodes
    };
    /// Cycles passed over.
    struct Skip {
        double count = 0.0, time = 0.0;  ///< time in [s]
        SourceClock::Reading clock;      ///< what they add
        long starts = 0;
    };
    /// The source has just stopped: moves the series' compositions and totals over as many cycles as end
    /// before a time [s] and can be told; by none when that is `now`.
    Skip end_of_cycle(CruiseSeries& series, const Moment& now, double until);

  private:
    /// What one cycle does; `change` of the nodes, then of the receiver's air fraction.
    struct Gain {
        std::vector<double> change, totals;
        double period = 0.0;  ///< [s]
        SourceClock::Reading clock;
        int starts = 0;
    };
    struct Fit {
        double cycles = 0.0;            ///< to pass over
        double ratio = 0.0;             ///< of a cycle's change to that of the last
        double ahead = 0.0, sum = 0.0;  ///< ratio^cycles; ratio + ratio^2 + ... + ratio^cycles
    };
    Gain gain_since_last(const CruiseSeries& series, const Moment& now) const;
    Fit fit(const CruiseSeries& series, const Gain& gain, double time_left) const;
    void error_allows(const CruiseSeries& series, const Gain& gain, Fit& fit) const;
    double slowest_decay(const CruiseSeries& series, const Gain& gain) const;
    Skip pass(CruiseSeries& series, Gain& gain, const Fit& fit) const;
    void keep_balance(const CruiseSeries& series, const Skip& skip, const std::vector<double>& change,
                      std::vector<double>& totals) const;
    void note(const CruiseSeries& series, const Moment& now);

    const Network& net_;
    double tolerance_;  ///< relative
    bool known_ = false, gain_known_ = false;
    Moment last_;
    std::vector<double> fractions_, totals_;  ///< then; the receiver's fraction is the last one
    std::vector<double> low_, high_;          ///< fractions of each node since then
    Gain before_;                             ///< of the last cycle
    double ratio_ = -1.0;                     ///< at the last cycle; none: negative
    double period_change_ = 0.0;              ///< of the last cycle against the one before [s]
    bool period_change_known_ = false;
};

}  // namespace oxfade::engine
