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
    const std::vector<RiserLog>& log() const { return log_; }
    bool all_filled() const;
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
    double capacity(const State& x, int r) const { return dynamics_.supply_capacity(x, r, scratch_flows_); }
    /// A threshold of a riser at the mean temperature, at that of the present moment [mol].
    double now(int r, double threshold) const {
        return threshold / scratch_flows_.thermal[static_cast<std::size_t>(r)].warmth;
    }
    void rebuild_guards(const State& x);
    void guard_supply(const State& x, int r);
    void guard_vent(std::size_t v);
    bool seal_rules(State& x, double time);
    bool drain_rules(State& x, double time);
    void guard_seal(const State& x, int s);
    double seal_value(const Guard& guard, const Flows& flows) const;
    const Flows& flows_at(const State& x);

    Dynamics& dynamics_;
    const Network& net_;
    Modes modes_;
    std::optional<Seals> seals_;
    std::size_t next_drain_ = 0;
    std::vector<Guard> guards_;
    std::vector<RiserLog> log_;
    int filling_ = 0;         ///< the riser whose turn it is
    double next_fill_ = 0.0;  ///< [s] earliest opening of its fill
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
