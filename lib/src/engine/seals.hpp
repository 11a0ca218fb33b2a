#pragma once

#include <set>
#include <vector>

#include "engine/wet_dynamics.hpp"

namespace oxfade::engine {

/// Water that has left the piping other than as vapour, and what was dissolved in it [mol].
struct Drained {
    double water = 0.0, oxygen = 0.0, nitrogen = 0.0;
};

/// What became of a low point in the course of a run.
struct SpotLog {
    int breaks = 0;             ///< times that gas began to bubble through
    double first_break = -1.0;  ///< [s]; negative: never
    double closed_since = -1.0;
    double closed_time = 0.0;  ///< in all, no gas passing [s]
    double drained_at = -1.0;  ///< by hand, for the last time [s]
    double carried = 0.0;      ///< water that went with the gas towards vents [m3]
    int stopped_vent = -1;     ///< the vent whose liquid stop it shut last
    double stopped_at = -1.0;  ///< and when [s]
};

/// The rules by which the water at low points holds gas back and lets it through (model.md section 9).
///
/// A seal breaks when the pressures on its sides differ by what the water withstands and would differ more,
/// and reseals when the flow through it ceases. When it breaks towards an open vent, the water that was
/// pushed up goes with the gas: out through the vent, or, where that has a liquid stop, into its chamber
/// until the stop shuts; the rest then runs back.
class Seals {
  public:
    explicit Seals(const WetDynamics& dynamics);

    void begin(const State& x, Modes& modes);
    /// Applies one rule that holds at this instant; false when none does. What has to move with it is moved
    /// in the state once the modes are set: call finish().
    bool apply(State& x, double time, const Flows& flows, Modes& modes);
    /// Evens out pressures that a change of modes has left apart.
    void finish(const Flows& flows, State& x);

    /// Takes the water out of one low point, and out of the vents it went to.
    void drain(int spot, State& x, double time, Modes& modes);
    /// Water has run through a riser, whose gas is now the site's air: its low points hold as much as at the
    /// start, in balance with that air; its vents and walls have been drained.
    void flood(int r, State& x, double time, Modes& modes);

    struct Threshold {
        bool behind = true;     ///< gas would go that way
        double strength = 0.0;  ///< pressure difference that breaks it from where it stands [Pa]
        bool at_threshold = false;
    };
    Threshold threshold(int spot, bool behind, const State& x, const Flows& flows) const;
    /// Pressure before a low point less that behind it [Pa].
    double difference(int spot, const Flows& flows) const;
    double difference_rate(int spot, const Flows& flows) const;  ///< [Pa/s]
    /// Water entry below which a low point stands open [mol].
    double opens_below(int spot) const;
    /// Rate of the difference that counts as rising [Pa/s].
    static constexpr double least_rise = 1e-8;

    const std::vector<SpotLog>& log() const { return log_; }
    const std::vector<Drained>& drained() const { return drained_; }  ///< of each riser
    double in_chambers() const;                                       ///< water [mol]
    /// Time closed, up to an end [s].
    double closed_time(int spot, double end) const;

  private:
    double temperature(int spot) const;       ///< mean [K]
    double moles_per_volume(int spot) const;  ///< of the water [mol/m3]
    double strength(int spot, bool behind, const State& x) const;
    bool break_rule(int spot, const State& x, double time, const Flows& flows, SealMode& mode);
    bool refresh_rule(int spot, const State& x, const Flows& flows, double time, SealMode& mode);
    bool carry(int spot, State& x, double time, Modes& modes);
    int vent_towards(int spot, const Modes& modes) const;
    double pushed_up(int spot, const State& x) const;
    void remove(int spot, double moles, State& x, bool to_chamber);
    void close(int spot, double time, SealMode& mode);
    void leave_closed(int spot, double time);

    const WetDynamics& dynamics_;
    const Network& net_;
    std::vector<SpotLog> log_;
    std::vector<Drained> drained_;
    std::vector<bool> carried_;  ///< since it broke
    struct Chamber {
        double water = 0.0;  ///< [mol]
        std::set<int> spots;
    };
    std::vector<Chamber> chambers_;  ///< of each vent
    bool uneven_ = false;
};

}  // namespace oxfade::engine
