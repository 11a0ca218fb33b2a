#include "engine/cycle_memory.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "engine/at.hpp"
#include "engine/lanes/cruise_limits.hpp"

namespace oxfade::engine {
namespace {

/// As `repeats`: implicit steps do not repeat themselves exactly.
constexpr double repeats_by_steps = 1e-2;

/// Adds `times` of an equal gain and `sum` of what dies out.
double series_of(double gain, double limit, double times, double sum) {
    return times * limit + sum * (gain - limit);
}

}  // namespace

CycleMemory::CycleMemory(const Network& net, double relative_tolerance)
    : net_(net), tolerance_(relative_tolerance) {}

void CycleMemory::forget() {
    known_ = gain_known_ = period_change_known_ = false;
    ratio_ = -1.0;
}

void CycleMemory::end_of_leg(const CruiseSeries& series) {
    if (!known_) return;
    for (int i = 0; i < net_.nodes(); ++i) {
        const double z = series.air_fraction(i);
        low_[at(i)] = std::min(low_[at(i)], z);
        high_[at(i)] = std::max(high_[at(i)], z);
    }
}

CycleMemory::Skip CycleMemory::end_of_cycle(CruiseSeries& series, const Moment& now, double until) {
    Skip skip;
    if (known_ && last_.crossings == now.crossings) {
        Gain gain = gain_since_last(series, now);
        const bool comparable = gain_known_ && before_.starts == gain.starts;
        const double period_change = gain.period - before_.period;
        if (comparable) {
            const Fit found = fit(series, gain, until - now.time);
            ratio_ = found.ratio;
            if (found.cycles > 0.0) skip = pass(series, gain, found);
        }
        if (!comparable) ratio_ = -1.0;
        period_change_known_ = comparable;
        period_change_ = period_change;
        before_ = std::move(gain);
        gain_known_ = true;
    } else {
        gain_known_ = period_change_known_ = false;
        ratio_ = -1.0;
    }
    note(series, now);
    last_.time += skip.time;
    last_.clock.nitrogen += skip.clock.nitrogen;
    last_.clock.air += skip.clock.air;
    last_.clock.air_after_fill += skip.clock.air_after_fill;
    last_.starts += static_cast<int>(skip.starts);
    return skip;
}

void CycleMemory::note(const CruiseSeries& series, const Moment& now) {
    last_ = now;
    known_ = true;
    totals_ = series.totals();
    fractions_.resize(at(net_.nodes()) + 1);
    for (int i = 0; i < net_.nodes(); ++i) fractions_[at(i)] = series.air_fraction(i);
    fractions_.back() = series.source_air() / series.source_moles();
    low_ = high_ = fractions_;
}

CycleMemory::Gain CycleMemory::gain_since_last(const CruiseSeries& series, const Moment& now) const {
    Gain gain;
    gain.change.resize(fractions_.size());
    for (int i = 0; i < net_.nodes(); ++i) gain.change[at(i)] = series.air_fraction(i) - fractions_[at(i)];
    gain.change.back() = series.source_air() / series.source_moles() - fractions_.back();
    gain.totals = series.totals();
    for (std::size_t k = 0; k < gain.totals.size(); ++k) gain.totals[k] -= totals_[k];
    gain.period = now.time - last_.time;
    gain.clock = {now.clock.nitrogen - last_.clock.nitrogen, now.clock.air - last_.clock.air,
                  now.clock.air_after_fill - last_.clock.air_after_fill};
    gain.starts = now.starts - last_.starts;
    return gain;
}

CycleMemory::Fit CycleMemory::fit(const CruiseSeries& series, const Gain& gain, double time_left) const {
    Fit fit;
    double most = 0.0, product = 0.0, square = 0.0;
    for (std::size_t i = 0; i < gain.change.size(); ++i) {
        most = std::max(most, std::abs(gain.change[i]));
        product += gain.change[i] * before_.change[i];
        square += before_.change[i] * before_.change[i];
    }
    const double period_change = gain.period - before_.period;
    const double same = (series.by_steps() ? repeats_by_steps : cruise_limits::repeats) * tolerance_;
    if (most <= same) {
        fit.cycles = std::max(0.0, std::floor(time_left / gain.period) - 1.0);
        fit.ahead = 1.0;  // the same again and again: what little changes is not added up
        if (std::abs(period_change) * fit.cycles > cruise_limits::exact_drift * gain.period) fit.cycles = 0.0;
        return fit;
    }
    fit.ratio = square > 0.0 ? product / square : 1.0;
    if (!(fit.ratio >= 0.0 && fit.ratio < 1.0)) {
        fit.ratio = -1.0;
        return fit;
    }
    if (ratio_ < 0.0 || !period_change_known_) return fit;
    if (most * fit.ratio / (1.0 - fit.ratio) > cruise_limits::most_to_come) return fit;
    const double limit = gain.period + period_change * fit.ratio / (1.0 - fit.ratio);
    fit.cycles = std::max(0.0, std::floor(time_left / std::max(gain.period, limit)) - 1.0);
    fit.ahead = std::pow(fit.ratio, fit.cycles);
    fit.sum = fit.ratio * (1.0 - fit.ahead) / (1.0 - fit.ratio);
    error_allows(series, gain, fit);
    return fit;
}

/// Lets no cycles be passed over where the error would be too large or the target might be crossed.
void CycleMemory::error_allows(const CruiseSeries& series, const Gain& gain, Fit& fit) const {
    const double own = std::min(1.0 / (1.0 - fit.ratio), fit.cycles);
    const double growth = own * std::min(1.0 / (1.0 - slowest_decay(series, gain)), fit.cycles);
    const double floor = net_.gases.composition_floor();
    const double period_change = gain.period - before_.period;
    const double drift = std::abs(period_change - fit.ratio * period_change_) * growth * fit.cycles;
    const double phase = drift / gain.period;
    if (phase > cruise_limits::most_phase_error * tolerance_) fit.cycles = 0.0;
    const std::size_t nodes = gain.change.size() - 1;
    for (std::size_t i = 0; i <= nodes; ++i) {
        const double rest = std::max(std::abs(gain.change[i] - fit.ratio * before_.change[i]),
                                     std::abs(gain.change[i] * (fit.ratio - ratio_)));
        const double now = fractions_[i] + gain.change[i];
        if (rest * growth > cruise_limits::most_error * tolerance_ * (std::abs(now) + floor))
            fit.cycles = 0.0;
        if (i == nodes) break;
        const double swing = high_[i] - low_[i];
        if (phase * swing > cruise_limits::most_error * tolerance_ * (std::abs(now) + floor))
            fit.cycles = 0.0;
        const double margin = swing + 2.0 * std::abs(gain.change[i]) * own;
        if (low_[i] - margin < net_.target_air && high_[i] + margin > net_.target_air && margin > 0.0)
            fit.cycles = 0.0;
    }
}

/// What is left after a cycle of a change in the compartment that forgets most slowly.
double CycleMemory::slowest_decay(const CruiseSeries& series, const Gain& gain) const {
    return std::exp(-series.slowest_decay(gain.change) * gain.period);
}

/// Moves compositions and totals on, and the gain to that of the last cycle passed over.
CycleMemory::Skip CycleMemory::pass(CruiseSeries& series, Gain& gain, const Fit& fit) const {
    Skip skip;
    skip.count = fit.cycles;
    const double reach = fit.ratio / (1.0 - fit.ratio);
    const auto both = [&](double& value, double before) {
        const double limit = value + (value - before) * reach;
        const double all = series_of(value, limit, fit.cycles, fit.sum);
        value = limit + (value - limit) * fit.ahead;
        return all;
    };
    std::vector<double> totals(gain.totals.size()), change(gain.change.size());
    for (std::size_t k = 0; k < totals.size(); ++k) totals[k] = both(gain.totals[k], before_.totals[k]);
    for (std::size_t i = 0; i < change.size(); ++i) {
        change[i] = fit.sum * gain.change[i];
        gain.change[i] *= fit.ahead;
    }
    skip.time = both(gain.period, before_.period);
    skip.clock = {both(gain.clock.nitrogen, before_.clock.nitrogen), both(gain.clock.air, before_.clock.air),
                  both(gain.clock.air_after_fill, before_.clock.air_after_fill)};
    skip.starts = static_cast<long>(fit.cycles) * gain.starts;
    keep_balance(series, skip, change, totals);
    series.add(change, totals);
    return skip;
}

/// What the air that has left must have been, given what came and what stays: shared out as it was found.
void CycleMemory::keep_balance(const CruiseSeries& series, const Skip& skip,
                               const std::vector<double>& change, std::vector<double>& totals) const {
    double left = net_.source.air_flow * skip.clock.air - change.back() * series.source_moles();
    for (int i = 0; i < net_.nodes(); ++i) left -= change[at(i)] * series.node_moles(i);
    double found = 0.0;
    for (std::size_t r = 0; r < net_.risers.size(); ++r)
        found += totals[4 * r + at(Layout::vented_air)] + totals[4 * r + at(Layout::leaked_air)];
    if (!(std::abs(found) > 0.0)) return;
    for (std::size_t r = 0; r < net_.risers.size(); ++r) {
        for (const auto total : {Layout::vented_air, Layout::leaked_air})
            totals[4 * r + at(total)] *= left / found;
    }
}

}  // namespace oxfade::engine
