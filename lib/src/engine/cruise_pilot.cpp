#include "engine/cruise_pilot.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "engine/at.hpp"
#include "engine/lanes/cruise_limits.hpp"
#include "engine/whole_cycles.hpp"

namespace oxfade::engine {
namespace {

/// As `most_series_a_leg`, where the source's cycle does not matter: while the piping changes its gas once.
constexpr double most_series_a_change = 75.0;

}  // namespace

CruisePilot::CruisePilot(Dynamics& dynamics, Switchboard& switches, TargetWatch& targets,
                         HistoryRecorder& history, SourceClock& clock, ExposureMeter& exposure,
                         outcome::Effort& effort, double relative_tolerance, std::function<void()> heartbeat)
    : net_(dynamics.network()),
      switches_(switches),
      targets_(targets),
      history_(history),
      clock_(clock),
      exposure_(exposure),
      effort_(effort),
      heartbeat_(std::move(heartbeat)),
      series_(dynamics, relative_tolerance),
      tolerance_(relative_tolerance),
      cycles_(net_, relative_tolerance),
      possible_(CruiseSeries::possible(net_) && net_.source.kind != SourceKind::cylinders) {
    refresh();
}

bool CruisePilot::run(double& time, State& x, double until) {
    if (!possible_ || switches_.source_stopped() || !series_.ready()) return false;
    time_ = time;
    stop_at_ = std::min(net_.duration, until);
    series_.load(x);
    cycles_.forget();
    averaging_ = false;
    waiting_.clear();
    for (int r = 0; r < static_cast<int>(net_.risers.size()); ++r) {
        if (switches_.waits_for_target(r)) waiting_.push_back(r);
    }
    const bool compressor = net_.source.kind == SourceKind::compressor;
    while (time_ < stop_at_) {
        series_.start(made(), switches_.machine() == Machine::air ? made() : 0.0);
        if (!(series_.supply() > 0.0) || !supplies_hold() || source_flips()) break;
        const bool pure = !compressor && clean_source();
        averaging_ = !pure && !compressor && nearly_clean_source();
        series_.steady_source(pure || averaging_, mean_source_);
        series_.by_steps(series_.coupled() || laborious(pure || averaging_));
        const bool went_on = pure || averaging_ ? pure_stretch(x) : cycle_leg(x);
        if (!went_on) break;
    }
    if (time_ <= time) return false;
    series_.store(x);
    exposure_.cruise(x, time, time_ - time, series_.exposure());
    time = time_;
    return true;
}

/// True when the fastest compartment would need so many series that implicit steps over all of it do better:
/// to a leg of the source's cycle, or, where that does not matter, to a change of gas in a whole riser.
bool CruisePilot::laborious(bool pure) const {
    const double supply = series_.supply();
    if (pure) {
        double change_of_gas = 0.0;
        for (int r = 0; r < static_cast<int>(net_.risers.size()); ++r) {
            const double own = series_.riser_supply(r);
            if (own > 0.0) change_of_gas = std::max(change_of_gas, net_.risers[at(r)].set / own);
        }
        return series_.largest_rate() * change_of_gas > most_series_a_change;
    }
    const double depth = net_.source.stop - net_.source.start;
    const double rate = std::max({supply, std::abs(made() - supply), 1e-300});
    return series_.largest_rate() * depth / rate > cruise_limits::most_series_a_leg;
}

/// What a step may be long for the sake of the compartments [s]; implicit steps see to that themselves.
double CruisePilot::longest_step(double series) const {
    return series_.by_steps() ? net_.duration : series / series_.largest_rate();
}

/// Time to the next moment that a step may not pass; never so short that the clock would stand still. Rows of
/// the history are read off an implicit step.
double CruisePilot::limit() const {
    const double row = series_.by_steps() ? stop_at_ : history_.next_time();
    const double left = std::min({stop_at_, row, clock_.next_mark(time_)}) - time_;
    return std::max(left, 1e-9 + 1e-15 * time_);
}

/// What the receiver holds at a time of the step, having held `moles` at another [mol].
double CruisePilot::content(double moles, Machine machine, double from, double to) const {
    return moles + making(machine) * (to - from) - (series_.drawn(to) - series_.drawn(from));
}

/// When the receiver's content next crosses a threshold, after a moment `from` of the step at which it was
/// `moles`; the content is a cubic in time there.
CruisePilot::Leg CruisePilot::find_event(double from, double moles, double size, Machine machine) const {
    const double made_now = making(machine);
    const double drawn_before = series_.drawn(from);
    const auto content = [&](double t) {
        return moles + made_now * (t - from) - (series_.drawn(t) - drawn_before);
    };
    const auto slope = [&](double t) { return made_now - series_.supply_at(t); };
    const double slope0 = slope(from), slope1 = slope(size);
    Leg leg;
    leg.end = size;
    const auto regular = [&](double threshold) {
        // Nearly a straight line: Newton's method from where the line would cross.
        double t = from + (threshold - moles) / slope0;
        for (int k = 0; k < 4; ++k) {
            const double step = (content(t) - threshold) / slope(t);
            t -= step;
            if (std::abs(step) <= 1e-8 * std::max(t, 1.0)) break;  // the next would be its square
        }
        return t;
    };
    const bool falls = slope0 < 0.0;
    const bool one_way = slope0 * slope1 > 0.0 && std::abs(slope1 - slope0) < 0.5 * std::abs(slope0);
    const double above = net_.source.stop;
    const double below = machine == Machine::off ? net_.source.start : net_.source.air_below;
    const Machine then_off = Machine::off;
    const Machine then_low =
        machine == Machine::off
            ? (net_.source.kind == SourceKind::compressor ? Machine::air : Machine::nitrogen)
            : Machine::air;
    const bool low_counts = machine != Machine::air;
    if (one_way) {
        // It comes within the step or not at all: the series say nothing beyond their step.
        const double threshold = falls ? below : above;
        const bool crosses = falls ? low_counts && content(size) <= below : content(size) >= above;
        if (crosses) leg = {true, std::clamp(regular(threshold), from, size), falls ? then_low : then_off};
        return leg;
    }
    // Near a turning point a cubic finds the crossing, and the series refine it.
    const double span = size - from, end = content(size);
    const auto refined = [&](double theta, double threshold) {
        double t = from + theta * span;
        for (int k = 0; k < 4 && std::abs(slope(t)) > 0.0; ++k) {
            const double better = t - (content(t) - threshold) / slope(t);
            if (!(better >= from && better <= size)) break;
            t = better;
        }
        return t;
    };
    if (machine != Machine::off) {
        const double theta = first_rise(moles - above, end - above, slope0 * span, slope1 * span);
        if (theta >= 0.0) leg = {true, refined(theta, above), then_off};
    }
    if (low_counts) {
        const double theta = first_rise(below - moles, below - end, -slope0 * span, -slope1 * span);
        const double t = theta >= 0.0 ? refined(theta, below) : size;
        if (theta >= 0.0 && t < leg.end) leg = {true, t, then_low};
    }
    return leg;
}

bool CruisePilot::target_comes(double t) const {
    return std::any_of(waiting_.begin(), waiting_.end(), [&](int r) {
        const RiserNet& riser = net_.risers[at(r)];
        const auto above = [&](int i) { return series_.air_fraction_at(i, t) > net_.target_air; };
        if (net_.target_at == plant::TargetAt::readings) {
            return std::none_of(riser.readings.begin(), riser.readings.end(),
                                [&](const RiserNet::Reading& reading) { return above(reading.node); });
        }
        double sum = 0.0;
        for (int i = riser.first; i < riser.first + riser.count; ++i) {
            if (net_.target_at == plant::TargetAt::everywhere && above(i)) return false;
            sum += net_.share[at(i)] * series_.air_fraction_at(i, t);
        }
        return sum <= net_.target_air;
    });
}

void CruisePilot::follow_targets(double size) {
    const auto ends = [&](int i) {
        return StepEnds{
            net_.target_air - series_.air_fraction(i), net_.target_air - series_.air_fraction_at(i, size),
            -size * series_.air_fraction_slope(i), -size * series_.air_fraction_slope_at(i, size)};
    };
    const auto average = [&](int r) {
        StepEnds sum{0.0, 0.0, 0.0, 0.0};
        const RiserNet& riser = net_.risers[at(r)];
        for (int i = riser.first; i < riser.first + riser.count; ++i) {
            StepEnds e = ends(i);
            for (double* value : {&e.y0, &e.y1, &e.d0, &e.d1}) *value *= net_.share[at(i)];
            sum += e;
        }
        return sum;
    };
    const auto refine = [&](int i, double theta) {
        double t = theta * size;
        for (int k = 0; k < 6; ++k) {
            const double slope = series_.air_fraction_slope_at(i, t);
            if (slope == 0.0) break;
            t -= (series_.air_fraction_at(i, t) - net_.target_air) / slope;
        }
        return t >= 0.0 && t <= size ? t / size : theta;
    };
    targets_.scan(series_.near_target(), time_, size, 1.0, ends, average, refine);
}

void CruisePilot::change(Machine next) {
    ++effort_.events;
    switches_.set_machine(next, time_);
}

/// When in a step the next row of the history is due [s]; its end when none is.
double CruisePilot::next_row(double begin, double size) const {
    return series_.by_steps() ? std::min(size, history_.next_time() - begin) : size;
}

/// Rows of the history within a leg of an implicit step, at whose start the receiver held `moles`.
void CruisePilot::write_rows(double begin, double from, double to, double moles, State& x) {
    const Machine machine = switches_.machine();
    while (series_.by_steps() && history_.next_time() < begin + to) {
        const double time = history_.next_time(), t = std::max(time - begin, from);
        series_.store_at(t, content(moles, machine, from, t), x);
        history_.row_at(time, x, clock_.reading().later(machine, t - from));
    }
}

void CruisePilot::write_row(State& x) {
    if (time_ < history_.next_time()) return;
    series_.store(x);
    history_.row_at(time_, x, clock_.reading());
}

/// One series, at most to the end of the leg the source is in.
bool CruisePilot::cycle_leg(State& x) {
    const Machine machine = switches_.machine();
    const double moles = series_.source_moles(), slope = std::abs(made() - series_.supply());
    double size = std::min(limit(), longest_step(cruise_limits::longest_series));
    size = std::min(size, cruise_limits::receiver_step * moles / std::max(slope, 1e-300));
    size = std::min(size, moles / std::max(made(), series_.supply()));
    const double straight = made() > series_.supply() ? (net_.source.stop - moles) / slope
                            : machine == Machine::off ? (moles - net_.source.start) / slope
                                                      : (moles - net_.source.air_below) / slope;
    size = std::min(size, straight * (1.0 + cruise_limits::aim_beyond));
    size = series_.expand(size);
    ++effort_.steps;
    heartbeat_();
    const Leg leg = find_event(0.0, moles, size, machine);
    if (target_comes(leg.end)) return false;
    follow_targets(leg.end);
    const double begin = time_;
    write_rows(begin, 0.0, leg.end, moles, x);
    series_.finish(leg.end);
    time_ = begin + leg.end >= stop_at_ * (1.0 - 1e-15) ? stop_at_ : begin + leg.end;
    clock_.run(machine, begin, time_, true);
    write_row(x);
    cycles_.end_of_leg(series_);
    if (leg.to_event) {
        change(leg.next);
        series_.turn(static_cast<std::size_t>(leg.next));
        if (leg.next == Machine::off) note_cycle();
    }
    return true;
}

/// At the moment the source stops: passes over the cycles that can be told from those before.
void CruisePilot::note_cycle() {
    const double until = std::min({stop_at_, history_.next_time(), clock_.next_mark(time_)});
    const CycleMemory::Skip skip =
        cycles_.end_of_cycle(series_, {time_, clock_.reading(), switches_.starts(), targets_.crossings()},
                             clock_.may_repeat(time_) ? until : time_);
    if (skip.count <= 0.0) return;
    clock_.repeat(skip.clock, skip.time, 1.0);
    switches_.add_starts(skip.starts);
    time_ += skip.time;
}

/// Product comes in whatever the source does, all but pure: one step of the piping, the source's cycles
/// inside it.
bool CruisePilot::pure_stretch(State& x) {
    const double oxygen = series_.highest_fraction() * std::abs(net_.gases.oxygen_excess);
    double size = limit();
    if (averaging_ && !series_.by_steps())
        size = std::min(size, cruise_limits::longest_pure_series * mean_source_ / series_.supply());
    if (averaging_ || oxygen > traces()) {
        size = std::min(size, longest_step(cruise_limits::longest_pure_series));
    } else if (oxygen > 0.0) {
        if (!waiting_.empty()) return false;  // left to the caller, who sees the target met
        follow_targets(0.0);
        series_.flush_nodes();
        return true;
    }
    cycles_.forget();
    const double begin = time_;
    size = series_.expand(size);
    ++effort_.steps;
    heartbeat_();
    if (target_comes(size)) return false;
    const double end = walk_cycles(size, x);
    time_ = begin + end >= stop_at_ * (1.0 - 1e-15) ? stop_at_ : begin + end;
    write_row(x);
    return true;
}

/// The source's legs within the step, most of them counted rather than followed; returns where the step ends,
/// which is early when the source falls back on air. Finishes the series.
double CruisePilot::walk_cycles(double size, State& x) {
    const double nitrogen = net_.source.nitrogen_flow, begin = time_;
    double from = 0.0, moles = series_.source_moles();
    double counted_until = 0.0;
    for (;;) {
        const Machine machine = switches_.machine();
        const double until = next_row(begin, size);
        if (until > counted_until && machine == Machine::off && moles == net_.source.stop &&
            clock_.may_repeat(begin + from)) {
            const double depth = net_.source.stop - net_.source.start;
            const WholeCycles cycles = whole_cycles(series_, from, until, nitrogen, depth);
            if (cycles.count > 0.0) {
                const double on = (series_.drawn(cycles.end) - series_.drawn(from)) / nitrogen;
                clock_.repeat({on, 0.0, 0.0}, cycles.end - from, 1.0);
                switches_.add_starts(static_cast<long>(cycles.count));
                from = cycles.end;
            }
            counted_until = until;
        }
        ++effort_.steps;
        heartbeat_();
        const Leg leg = find_event(from, moles, size, machine);
        write_rows(begin, from, leg.end, moles, x);
        clock_.run(machine, begin + from, begin + leg.end, true);
        if (!leg.to_event) {
            moles = content(moles, machine, from, leg.end);
        } else {
            time_ = begin + leg.end;
            moles = leg.next == Machine::off  ? net_.source.stop
                    : machine == Machine::off ? net_.source.start
                                              : net_.source.air_below;
            change(leg.next);
        }
        from = leg.end;
        if (leg.to_event && leg.next != Machine::air) continue;
        time_ = begin;
        follow_targets(leg.end);
        series_.finish(leg.end, moles);
        return leg.end;
    }
}

}  // namespace oxfade::engine
