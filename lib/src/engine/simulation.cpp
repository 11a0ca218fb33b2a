#include "engine/simulation.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <limits>

#include "engine/at.hpp"
#include "engine/rosenbrock.hpp"
#include "oxfade/error.hpp"

namespace oxfade::engine {
namespace {

/// A step is aimed this much beyond the predicted event, so that the event lies within it, close to its end.
constexpr double overshoot = 1e-3;
/// An event in the last part of a step is taken from the step's cubic; one before that has the step redone.
constexpr double near_the_end = 0.9;
constexpr double least_step = 1e-9;  // [s]
/// Steps times unknowns between two calls of `progress`: some milliseconds.
constexpr long most_work = 300'000;
/// So many mode changes within the resolution of time count as flipping for ever, and some for each switch.
constexpr long most_changes = 200, most_changes_each = 8;

}  // namespace

Simulation::Simulation(const plant::Plant& plant, const Network& net, const Options& options)
    : agenda_(plant),
      changeable_(agenda_.changes_settings() ? std::make_unique<Changeable>(Changeable{plant, net})
                                             : nullptr),
      net_(changeable_ ? changeable_->net : net),
      options_(options),
      dynamics_(make_dynamics(net_)),
      switches_(*dynamics_),
      method_(make_step_method(options.method, *dynamics_)),
      x_(dynamics_->initial_state()),
      at_start_(x_),
      flows0_(std::make_unique<Flows>(dynamics_->make_flows())),
      flows1_(std::make_unique<Flows>(dynamics_->make_flows())),
      scratch_flows_(dynamics_->make_flows()),
      targets_(net_, dynamics_->layout(), x_),
      history_(net_, dynamics_->layout(), dynamics_->modes(), options.history_points),
      clock_(net_.duration),
      exposure_(*dynamics_),
      pilot_(*dynamics_, switches_, targets_, history_, clock_, exposure_, effort_,
             options.relative_tolerance, [this] { heartbeat(); }),
      may_cruise_(net_.pressures == Pressures::uniform),
      smooth_(net_.pressures != Pressures::resolved),
      range_(net_.risers.size(), outcome::Stretch{0.0, 0.0}),
      film_(net_.risers.size(), 0.0),
      spilled_(net_.risers.size()),
      beat_(std::max(1L, most_work / (static_cast<long>(x_.size()) + 60))) {
    if (net_.moving) {
        longest_step_ = net_.course.longest_step();
        for (const RiserNet& riser : net_.risers)
            longest_step_ = std::min(longest_step_, riser.course.longest_step());
    }
    for (State* s : {&dense_.x0, &dense_.f0, &dense_.x1, &dense_.f1, &error_, &scratch_, &scratch_rates_}) {
        s->setZero(x_.size());
    }
}

void Simulation::run() {
    switches_.begin(x_);
    history_.begin(x_);
    if (agenda_.next_date() <= 0.0) {
        act();
        switches_.settle(x_, 0.0);
    } else if (!agenda_.empty()) {
        agenda_.open(snapshot(), net_.risers.size());
    }
    watch_pressures();
    dynamics_->rates(time_, x_, dense_.f0, *flows0_);
    note_next_date();
    if (options_.skip_cycles && may_cruise_) cruise();
    double forced = 0.0;
    while (time_ < net_.duration) {
        dense_.begin = time_;
        dense_.x0 = x_;
        const double size = forced > 0.0 ? forced : attempt_size();
        forced = 0.0;
        if (!attempt(size)) continue;
        const double theta = first_event();
        forced = theta >= 0.0 ? better_size(theta, size) : 0.0;
        if (forced > 0.0) continue;
        accept(theta >= 0.0 && smooth_ ? theta : 1.0);
        if (theta >= 0.0 || time_ >= next_date_) {
            settle();
            if (options_.skip_cycles && may_cruise_) cruise();
        } else {
            std::swap(dense_.f0, dense_.f1);
            std::swap(flows0_, flows1_);
        }
    }
    targets_.finish(net_.duration);
    if (!agenda_.empty()) agenda_.close(snapshot());
}

/// The wanted size, cut short at the next date and just behind the next event that a straight line predicts.
double Simulation::attempt_size() const {
    double size = std::min({control_.wanted(), net_.duration - time_, next_date_ - time_, longest_step_});
    if (!smooth_) return std::max(size, least_step);  // a stiff vessel's rate says little of where it goes
    for (const Guard& guard : switches_.guards()) {
        const double slope = Switchboard::guard_slope(guard, dense_.f0, *flows0_);
        if (slope <= 0.0) continue;
        const double value = switches_.guard_value(guard, x_, *flows0_);
        if (value >= 0.0) continue;
        size = std::min(size, -value / slope * (1.0 + overshoot) + options_.event_tolerance);
    }
    return std::max(size, least_step);
}

/// The size to repeat a step with in which an event lies at theta [s]; 0 where it is well placed. Between the
/// ends of a step the cubic of a stiff vessel is no good: there the step has to end at the event.
double Simulation::better_size(double theta, double size) const {
    const double until = theta * size;
    if (!smooth_) {
        const bool at_end = size - until <= options_.event_tolerance;
        return at_end ? 0.0 : until + 0.5 * options_.event_tolerance;
    }
    const bool near = theta >= near_the_end || until <= 2.0 * options_.event_tolerance;
    return near ? 0.0 : until * (1.0 + overshoot);
}

/// Takes a trial step; false when it was rejected.
bool Simulation::attempt(double size) {
    ++effort_.steps;
    heartbeat();
    dense_.size = size;
    method_->step(dense_, *flows0_, error_);
    double norm = error_norm(error_);
    bool usable = std::isfinite(norm);
    for (int i = 0; usable && i < 2 + dynamics_->layout().vessels; ++i) {
        const bool vessel =
            i != Layout::source_air && !(i == Layout::source && net_.source.kind == SourceKind::cylinders);
        if (vessel && dense_.x1[i] < 0.0) usable = false;
    }
    if (usable && norm <= 1.0) {
        dynamics_->rates(dense_.begin + size, dense_.x1, dense_.f1, *flows1_);
        usable = dense_.f1.allFinite();
    }
    if (!usable) norm = 1e6;
    if (control_.take(size, norm)) return true;
    ++effort_.rejected;
    if (control_.wanted() < least_step) fail(usable ? "the step size vanished" : "the state is not finite");
    return false;
}

double Simulation::error_norm(const State& error) const {
    const Layout& layout = dynamics_->layout();
    double worst = 0.0;
    const auto look = [&](double e, double scale) {
        const double relative = std::abs(e) / scale;
        if (!(relative <= worst)) worst = relative;  // a NaN stays
    };
    const double floor = net_.composition_floor(), margin = net_.composition_margin();
    const double source = std::max(std::abs(dense_.x1[Layout::source]), 1e-12);
    look(error[Layout::source], net_.pressure_margin() * source);
    look(error[Layout::source_air], std::abs(dense_.x1[Layout::source_air]) + floor * source);
    for (int i = 2; i < 2 + layout.vessels; ++i)
        look(error[i], net_.pressure_margin() * std::max(std::abs(dense_.x1[i]), 1e-12));
    for (int i = 0; i < layout.nodes; ++i) {
        const double own = std::max(std::abs(layout.moles(dense_.x1, i)), 1e-12 * layout.part(i));
        look(error[layout.air(i)], margin * (std::abs(dense_.x1[layout.air(i)]) + floor * own));
        if (!layout.wet()) continue;
        for (const auto trace : {Layout::oxygen, Layout::nitrogen, Layout::vapour}) {
            look(error[layout.trace(trace, i)], std::abs(dense_.x1[layout.trace(trace, i)]) + floor * own);
        }
        look(error[layout.film(i)], std::abs(dense_.x1[layout.film(i)]) + floor * own);
    }
    for (int s = 0; s < layout.spots; ++s) {
        const double water = std::abs(dense_.x1[layout.water(s)]);
        look(error[layout.water(s)], water + 1e-3 * at_start_[layout.water(s)]);
        for (const auto trace : {Layout::oxygen, Layout::nitrogen}) {
            const int entry = layout.dissolved(s, trace);
            look(error[entry], std::abs(dense_.x1[entry]) + 0.1 * at_start_[entry] + 1e-9);
        }
    }
    return worst / options_.relative_tolerance;
}

/// Where in the trial step the first guard fires, as theta; negative when none does.
double Simulation::first_event() {
    double first = -1.0;
    for (const Guard& guard : switches_.guards()) {
        double theta = -1.0;
        if (!smooth_) {
            const double before = switches_.guard_value(guard, dense_.x0, *flows0_);
            const double after = switches_.guard_value(guard, dense_.x1, *flows1_);
            if (before < 0.0 && after >= 0.0) theta = before / (before - after);
        } else if (guard.kind == Guard::Kind::above || guard.kind == Guard::Kind::below) {
            const double sign = guard.kind == Guard::Kind::above ? 1.0 : -1.0;
            const int i = guard.index;
            const Threshold begin = threshold_at(guard, *flows0_), end = threshold_at(guard, *flows1_);
            theta = first_rise(sign * (dense_.x0[i] - begin.moles), sign * (dense_.x1[i] - end.moles),
                               sign * dense_.size * (dense_.f0[i] - begin.rate),
                               sign * dense_.size * (dense_.f1[i] - end.rate));
        } else {
            const double before = switches_.guard_value(guard, dense_.x0, *flows0_);
            const double after = switches_.guard_value(guard, dense_.x1, *flows1_);
            if (before < 0.0 && after >= 0.0) theta = nonlinear_event(guard, before);
        }
        if (theta >= 0.0 && (first < 0.0 || theta < first)) first = theta;
    }
    return first;
}

double Simulation::nonlinear_event(const Guard& guard, double before) {
    const auto value = [&](double theta) {
        dense_.state(theta, scratch_);
        if (guard.kind != Guard::Kind::target)
            dynamics_->rates(dense_.time(theta), scratch_, scratch_rates_, scratch_flows_);
        return switches_.guard_value(guard, scratch_, scratch_flows_);
    };
    const double after = value(1.0);
    if (after <= 0.0) return 1.0;
    std::uintmax_t iterations = 60;
    const double closeness = std::max(1e-14, 0.1 * options_.event_tolerance / dense_.size);
    const auto near = [&](double a, double b) { return std::abs(b - a) < closeness; };
    return boost::math::tools::toms748_solve(value, 0.0, 1.0, before, after, near, iterations).second;
}

void Simulation::accept(double theta) {
    const double begin = time_;
    if (theta < 1.0) {
        dense_.state(theta, x_);
        time_ = dense_.time(theta);
    } else {
        x_ = dense_.x1;
        time_ = dense_.begin + dense_.size;
        // Dates are met exactly, not to rounding.
        for (const double date : {next_date_, net_.duration}) {
            if (std::isfinite(date) && std::abs(time_ - date) <= 1e-12 * std::max(1.0, date)) time_ = date;
        }
    }
    targets_.step(dense_, theta);
    exposure_.step(dense_, theta);
    const Machine machine = dynamics_->modes().machine;
    history_.step(dense_, time_ >= net_.duration ? 1.0 + 1e-12 : theta, clock_.reading(), machine);
    clock_.run(machine, begin, time_, switches_.all_filled());
    watch_pressures();
    if (dynamics_->layout().wet()) watch_films();
}

void Simulation::watch_films() {
    const Layout& layout = dynamics_->layout();
    std::vector<double> film(net_.risers.size(), 0.0);
    for (int i = 0; i < layout.nodes; ++i) film[at(net_.riser_of[at(i)])] += x_[layout.film(i)];
    for (std::size_t r = 0; r < film.size(); ++r) film_[r] = std::max(film_[r], film[r]);
}

void Simulation::settle() {
    const long before = switches_.changes();
    dynamics_->enter(time_);
    if (agenda_.next_date() <= time_) act();
    switches_.settle(x_, time_);
    if (switches_.changes() != before) {
        ++effort_.events;
        if (net_.any_resolved) control_.turn(number_of(dynamics_->modes()));
        guard_against_flipping();
        watch_pressures();  // a fill that has just ended counts from the pressure it reached
    }
    dynamics_->rates(time_, x_, dense_.f0, *flows0_);
    note_next_date();
}

/// Dates change where modes do, and nowhere else.
void Simulation::note_next_date() {
    next_date_ = std::min({switches_.next_date(), dynamics_->next_knot(), agenda_.next_date()});
}

/// Hands over to the pilot while it can carry the run on; what it leaves is settled here.
void Simulation::cruise() {
    while (time_ < net_.duration && pilot_.run(time_, x_, next_date_)) settle();
}

void Simulation::guard_against_flipping() {
    const double resolution = std::max(1e-3, 1e-9 * net_.duration);
    if (time_ - window_begin_ > resolution) {
        window_begin_ = time_;
        window_changes_ = switches_.changes();
    }
    const auto switches = static_cast<long>(net_.risers.size() + net_.vents.size());
    if (switches_.changes() - window_changes_ > most_changes + most_changes_each * switches) {
        fail(fmt::format("switches flip for ever without time passing: {}", switches_.last_two()));
    }
}

void Simulation::watch_pressures() {
    const auto widen = [](outcome::Stretch& range, double pressure) {
        if (range.end <= 0.0) range = {pressure, pressure};
        range.begin = std::min(range.begin, pressure);
        range.end = std::max(range.end, pressure);
    };
    for (int r = 0; r < static_cast<int>(net_.risers.size()); ++r) {
        if (!switches_.in_service(r)) continue;
        const double pressure = dynamics_->riser_pressure(time_, x_, r);
        widen(range_[at(r)], pressure);
        if (!agenda_.empty()) widen(agenda_.current().pressures[at(r)], pressure);
    }
}

void Simulation::heartbeat() {
    if (effort_.steps > options_.max_steps) {
        fail(fmt::format("gave up after {} steps; the last to switch: {}", options_.max_steps,
                         switches_.last_two()));
    }
    if (!options_.progress || effort_.steps % beat_ != 0) return;
    if (!options_.progress(time_)) fail("stopped on request");
}

void Simulation::fail(const std::string& what) const {
    std::vector<std::string> names;
    for (const RiserNet& riser : net_.risers) names.push_back(riser.name);
    std::string riser, compartment;
    const Layout& layout = dynamics_->layout();
    for (int i = 0; i < layout.dynamic_size() && riser.empty() && compartment.empty(); ++i) {
        if (std::isfinite(dense_.x1[i]) && std::isfinite(dense_.f1[i])) continue;
        if (i < 2) {
            compartment = "receiver";
        } else if (i < 2 + layout.vessels && net_.pressures == Pressures::uniform) {
            riser = names[at(i - 2)];
        } else {
            const int node = i < 2 + layout.vessels ? i - 2 : i - 2 - layout.vessels;
            riser = names[at(net_.riser_of[at(node)])];
            compartment = net_.label[at(node)];
        }
    }
    throw ComputationError(what, time_, riser, compartment, describe(dynamics_->modes(), names));
}

}  // namespace oxfade::engine
