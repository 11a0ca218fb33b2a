#pragma once

#include <limits>
#include <memory>

#include "engine/agenda.hpp"
#include "engine/cruise_pilot.hpp"
#include "engine/dense_step.hpp"
#include "engine/dynamics.hpp"
#include "engine/exposure.hpp"
#include "engine/recorder.hpp"
#include "engine/step_control.hpp"
#include "engine/switchboard.hpp"
#include "oxfade/engine/predict.hpp"

namespace oxfade::engine {

/// One way to take a step of the smooth system between events.
class StepMethod {
  public:
    virtual ~StepMethod() = default;
    /// From dense.x0, dense.f0 over dense.size to dense.x1; `error` estimates the local error. `flows` belong
    /// to x0.
    virtual void step(DenseStep& dense, const Flows& flows, State& error) = 0;
};
std::unique_ptr<StepMethod> make_step_method(Method method, const Dynamics& dynamics);

/// Runs the hybrid system from the first fill to the end of the duration.
class Simulation {
  public:
    /// The plant must be valid, its network built from it; both outlive the simulation.
    Simulation(const plant::Plant& plant, const Network& net, const Options& options);
    void run();

    /// As settings have left it at the end.
    const Network& network() const { return net_; }
    const Agenda& agenda() const { return agenda_; }
    /// Gas that a riser lost in trips less air it took in, all but what its water had given: of the whole,
    /// and of it air [mol].
    struct Spill {
        double gas = 0.0, air = 0.0;
    };
    const std::vector<Spill>& spilled() const { return spilled_; }

    const State& state() const { return x_; }
    const State& at_start() const { return at_start_; }
    /// Most water that has stood on the walls of a riser's pipes [mol].
    double most_film(int r) const { return film_[static_cast<std::size_t>(r)]; }
    const Dynamics& dynamics() const { return *dynamics_; }
    const Switchboard& switches() const { return switches_; }
    const TargetWatch& targets() const { return targets_; }
    const SourceClock& clock() const { return clock_; }
    const ExposureMeter& exposure() const { return exposure_; }
    HistoryRecorder& history() { return history_; }
    const outcome::Effort& effort() const { return effort_; }
    /// Lowest and highest pressure of a riser since its fill [Pa]; {0, 0} before.
    outcome::Stretch pressure_range(int r) const { return range_[static_cast<std::size_t>(r)]; }

  private:
    double attempt_size() const;
    double better_size(double theta, double size) const;
    bool attempt(double size);
    double error_norm(const State& error) const;
    double first_event();
    double nonlinear_event(const Guard& guard, double before);
    void accept(double theta);
    void settle();
    /// A plant of its own, and what follows from it.
    struct Changeable {
        plant::Plant plant;
        Network net;
    };
    void act();
    void change(const plant::Action& action);
    void perform(const plant::Action& action);
    void drain(int r, const std::string& what);
    void close_valve(int r, const std::string& what, bool closed);
    void trip(int r, double ready);
    Snapshot snapshot() const;
    void note_next_date();
    void cruise();
    void watch_pressures();
    void watch_films();
    void heartbeat();
    void guard_against_flipping();
    [[noreturn]] void fail(const std::string& what) const;

    Agenda agenda_;
    std::unique_ptr<Changeable> changeable_;  ///< where actions change settings; else null
    const Network& net_;
    Options options_;
    std::unique_ptr<Dynamics> dynamics_;
    Switchboard switches_;
    std::unique_ptr<StepMethod> method_;
    DenseStep dense_;
    State x_, at_start_, error_, scratch_, scratch_rates_;
    std::unique_ptr<Flows> flows0_, flows1_;  ///< at the ends of the step
    Flows scratch_flows_;
    TargetWatch targets_;
    HistoryRecorder history_;
    SourceClock clock_;
    ExposureMeter exposure_;
    outcome::Effort effort_;
    CruisePilot pilot_;
    bool may_cruise_;  ///< one pressure a riser
    bool smooth_;      ///< few vessels, none of them stiff but against the receiver
    std::vector<outcome::Stretch> range_;
    std::vector<double> film_;
    std::vector<Spill> spilled_;
    std::vector<double> guard_before_;
    long beat_;  ///< steps between two calls of `progress`: fewer where a step is a long one
    double time_ = 0.0;
    StepControl control_;
    double next_date_ = 0.0;  ///< [s] of anything that happens on a date
    double longest_step_ = std::numeric_limits<double>::infinity();  ///< that follows the temperatures [s]
    double window_begin_ = 0.0;                                      ///< of counting events against flipping
    long window_changes_ = 0;
};

}  // namespace oxfade::engine
