#pragma once

#include <array>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "engine/dynamics.hpp"
#include "engine/seals.hpp"

namespace oxfade::engine {

/// Something that will change a mode: fires when its value rises through zero.
struct Guard {
    enum class Kind {
        above,          ///< moles in state entry `index` reach `threshold` from below
        below,          ///< moles in state entry `index` fall to `threshold`
        sag,            ///< regulator of riser `index`: more is asked for than its orifice can pass
        recover,        ///< the opposite, while it stands wide open at or above the set pressure
        target,         ///< every compartment of riser `index` is at target
        ease,           ///< regulator of riser `index`: it warms so fast that nothing more is asked for
        draw,           ///< the opposite, while it stands shut at the set pressure
        seal_behind,    ///< pressure before low point `index` exceeds that behind it by `threshold`
        seal_before,    ///< the opposite
        rising_behind,  ///< the difference begins to rise, from where it breaks the seal of `index`
        rising_before,
        ceases,  ///< gas no longer bubbles through low point `index`
    };
    Kind kind = Kind::above;
    int index = 0;
    double threshold = 0.0;  ///< [mol] at the mean temperature
    int riser = -1;          ///< whose temperature counts for it; the receiver's where negative
};

/// The rules by which source, supplies and vents change their modes (model.md sections 5 to 8).
class Switchboard {
  public:
    explicit Switchboard(Dynamics& dynamics);

    /// Opens the first fill and sets the source as the file's receiver pressure asks.
    void begin(State& x);
    /// Applies every rule that holds at this instant, again and again until nothing changes; true when
    /// anything changed. Throws ComputationError when that has no end.
    /// Water that moves with it is moved in the state.
    bool settle(State& x, double time);

    Machine machine() const { return modes_.machine; }
    /// The source changes its mode at a time; nothing else does. settle() must follow before guards are used.
    void set_machine(Machine next, double time);
    /// Whole cycles of the source passed without being followed one by one.
    void add_starts(long count) { starts_ += static_cast<int>(count); }
    // What is done by hand; settle() must follow each of them.
    /// The riser waits for its fill again, which may begin at `ready` [s]; its low points hold water again,
    /// and its vents have been drained.
    void trip(int r, State& x, double time, double ready);
    void drain(int spot, State& x, double time);
    void stop_source();
    void restore_source(const State& x, double time);
    bool source_stopped() const { return stopped_; }
    void close_vent(int v, bool closed);
    void close_supply(const State& x, int r, bool closed, double time);
    /// Settings have changed: what follows from them is found afresh.
    void review(const State& x, double time);

    /// A vent of the riser waits for its target.
    bool waits_for_target(int r) const;

    const std::vector<Guard>& guards() const { return guards_; }
    double guard_value(const Guard& guard, const State& x, const Flows& flows) const;
    /// Rate of a guard's value where it is a plain threshold on moles.
    static double guard_slope(const Guard& guard, const State& dxdt, const Flows& flows);
    /// Moment of the next dated change [s]; infinite when there is none.
    double next_date() const;

    struct RiserLog {
        double fill_start = -1.0, fill_end = -1.0;  ///< [s]; negative: not yet
    };
    /// The first fill of each riser.
    const std::vector<RiserLog>& log() const { return log_; }
    /// Every fill of a riser, the first one and those after trips.
    const std::vector<RiserLog>& fills(int r) const { return fills_[static_cast<std::size_t>(r)]; }
    bool in_service(int r) const {
        return modes_.risers[static_cast<std::size_t>(r)].stage == Stage::in_service;
    }
    bool all_filled() const { return filling_ < 0 && queue_.empty(); }
    int starts() const { return starts_; }
    double empty_at() const { return empty_at_; }  ///< negative: never
    long changes() const { return changes_; }
    /// The two switches that changed last, for error messages.
    std::string last_two() const;
    /// Least excess of what a compartment may hold at target over what it holds [mol]; >= 0 at target.
    double target_margin(const State& x, int r) const;
    /// Null without low points.
    const Seals* seals() const { return seals_ ? &*seals_ : nullptr; }

  private:
    struct SwitchId {
        enum class Kind { none, source, stage, supply, vent, seal } kind = Kind::none;
        int index = 0;
    };
    double filled_at(int r) const;
    bool start_a_fill(double time);
    void queue(int r);
    bool machine_rules(const State& x, double time);
    bool stage_rules(const State& x, double time);
    bool supply_rules(const State& x, int r);
    bool regulator_rules(const State& x, int r);
    bool vent_rules(const State& x, double time);
    bool vent_should_open(const State& x, double time, std::size_t v);
    SupplyMode supply_after_fill(const State& x, int r);
    void remember(SwitchId id);
    std::string name(SwitchId id) const;
    double asked(const State& x, int r);
    double breath_of(const State& x, int r);
    double capacity(const State& x, int r) const { return dynamics_.supply_capacity(x, r, scratch_flows_); }
    /// A threshold of a riser at the mean temperature, at that of the present moment [mol].
    double now(int r, double threshold) const {
        return threshold / scratch_flows_.thermal[static_cast<std::size_t>(r)].warmth;
    }
    void rebuild_guards(const State& x);
    void guard_source(const SourceNet& source);
    void guard_supply(const State& x, int r);
    void guard_vent(std::size_t v);
    bool seal_rules(State& x, double time);
    void guard_seal(const State& x, int s);
    double seal_value(const Guard& guard, const Flows& flows) const;
    const Flows& flows_at(const State& x);

    Dynamics& dynamics_;
    const Network& net_;
    Modes modes_;
    std::optional<Seals> seals_;
    std::vector<Guard> guards_;
    std::vector<RiserLog> log_;
    std::vector<std::vector<RiserLog>> fills_;
    int filling_ = -1;           ///< the riser that is being filled; negative: none
    std::vector<int> queue_;     ///< risers that wait for their fill, in their order
    std::vector<double> ready_;  ///< [s] when each may be filled at the earliest
    double next_fill_ = 0.0;     ///< [s] when any may be
    bool stopped_ = false;       ///< the source, by hand
    bool touched_ = false;       ///< modes have changed that the dynamics do not know yet
    int starts_ = 0;
    double empty_at_ = -1.0;
    double time_ = 0.0;
    long changes_ = 0;
    std::array<SwitchId, 2> last_{};
    Flows scratch_flows_;
    State scratch_rates_;
    bool flows_fresh_ = false;
};

/// How a machine with a receiver stands at the start of a run.
/// @param moles in the receiver, at the mean temperature
Machine machine_at_start(const SourceNet& source, double moles);

/// Moles that a guard's threshold is at the temperature of the flows, and their rate.
struct Threshold {
    double moles, rate;
};
Threshold threshold_at(const Guard& guard, const Flows& flows);

}  // namespace oxfade::engine
