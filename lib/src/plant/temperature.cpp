#include "oxfade/plant/temperature.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace oxfade::plant {
namespace {

using Knot = TemperatureTable::Knot;

/// What an empty table stands for: find_problems() refuses it, but looks at the rest of the plant too.
constexpr double room = 293.15;

constexpr double never = std::numeric_limits<double>::infinity();
/// Steps in a period that a method of third order needs at least to see the swing.
constexpr double steps_in_a_period = 24.0;

double angle(const DailySwing& s, double time) {
    return 2.0 * std::numbers::pi * (time - s.warmest) / s.period;
}

double season_angle(const DailySwing& s, double time) {
    return 2.0 * std::numbers::pi * (time - s.season_warmest) / year_of_seasons;
}

/// Between which knots a time lies, after it was folded into the table's period.
struct Span {
    Knot from, to;
    double time;

    double slope() const {
        const double width = to.time - from.time;
        return width > 0.0 ? (to.temperature - from.temperature) / width : 0.0;
    }
    double temperature() const { return from.temperature + slope() * (time - from.time); }
};

Span span_at(const TemperatureTable& table, double time) {
    const auto& knots = table.knots;
    if (knots.empty()) return {{0.0, room}, {0.0, room}, time};
    const Knot first = knots.front(), last = knots.back();
    double folded = time;
    if (table.period) {
        const double into = std::fmod(time - first.time, *table.period);
        folded = first.time + (into < 0.0 ? into + *table.period : into);
    }
    const auto next = std::upper_bound(knots.begin(), knots.end(), folded,
                                       [](double t, const Knot& knot) { return t < knot.time; });
    if (next == knots.begin()) return {first, first, folded};
    if (next != knots.end()) return {*(next - 1), *next, folded};
    if (table.period) return {last, {first.time + *table.period, first.temperature}, folded};
    return {last, last, folded};
}

double mean_of(const TemperatureTable& table) {
    if (table.knots.empty()) return room;
    double area = 0.0, width = 0.0;
    const auto add = [&](const Knot& a, const Knot& b) {
        area += 0.5 * (a.temperature + b.temperature) * (b.time - a.time);
        width += b.time - a.time;
    };
    for (std::size_t i = 1; i < table.knots.size(); ++i) add(table.knots[i - 1], table.knots[i]);
    const Knot& first = table.knots.front();
    if (table.period) add(table.knots.back(), {first.time + *table.period, first.temperature});
    return width > 0.0 ? area / width : first.temperature;
}

double next_knot_of(const TemperatureTable& table, double time) {
    if (table.knots.empty()) return never;
    const double period = table.period.value_or(0.0), first = table.knots.front().time;
    const double round = period > 0.0 ? std::floor((time - first) / period) : 0.0;
    const int rounds = period > 0.0 ? 3 : 1;  // the one before and after, for what rounding does
    for (int k = 0; k < rounds; ++k) {
        const double shift = period > 0.0 ? (round - 1.0 + k) * period : 0.0;
        // The knots rise, so that long tables are searched by halves.
        const auto next = std::upper_bound(table.knots.begin(), table.knots.end(), time,
                                           [&](double t, const Knot& knot) { return t < knot.time + shift; });
        if (next != table.knots.end()) return next->time + shift;
    }
    return period > 0.0 ? first + (round + 2.0) * period : never;
}

struct Extremes {
    double low, high;
};

Extremes extremes(const Temperature::Course& course) {
    if (const auto* s = std::get_if<DailySwing>(&course))
        return {s->mean - 0.5 * (s->swing + s->season), s->mean + 0.5 * (s->swing + s->season)};
    if (const auto* t = std::get_if<TemperatureTable>(&course)) {
        if (t->knots.empty()) return {room, room};
        const auto [low, high] =
            std::minmax_element(t->knots.begin(), t->knots.end(),
                                [](const Knot& a, const Knot& b) { return a.temperature < b.temperature; });
        return {low->temperature, high->temperature};
    }
    return {std::get<double>(course), std::get<double>(course)};
}

}  // namespace

bool Temperature::steady() const {
    const auto [low, high] = extremes(course);
    return low == high;
}

double Temperature::at(double time) const {
    if (const auto* s = std::get_if<DailySwing>(&course)) {
        const double daily = s->mean + 0.5 * s->swing * std::cos(angle(*s, time));
        return s->season > 0.0 ? daily + 0.5 * s->season * std::cos(season_angle(*s, time)) : daily;
    }
    if (const auto* t = std::get_if<TemperatureTable>(&course)) return span_at(*t, time).temperature();
    return std::get<double>(course);
}

double Temperature::slope_at(double time) const {
    if (const auto* s = std::get_if<DailySwing>(&course)) {
        const double daily = -std::numbers::pi * s->swing / s->period * std::sin(angle(*s, time));
        if (!(s->season > 0.0)) return daily;
        return daily - std::numbers::pi * s->season / year_of_seasons * std::sin(season_angle(*s, time));
    }
    if (const auto* t = std::get_if<TemperatureTable>(&course)) return span_at(*t, time).slope();
    return 0.0;
}

double Temperature::mean() const {
    if (const auto* s = std::get_if<DailySwing>(&course)) return s->mean;
    if (const auto* t = std::get_if<TemperatureTable>(&course)) return mean_of(*t);
    return std::get<double>(course);
}

double Temperature::coldest() const { return extremes(course).low; }
double Temperature::warmest() const { return extremes(course).high; }

double Temperature::next_knot(double time) const {
    const auto* t = std::get_if<TemperatureTable>(&course);
    return t != nullptr ? next_knot_of(*t, time) : never;
}

double Temperature::longest_step() const {
    const auto* s = std::get_if<DailySwing>(&course);
    if (s == nullptr) return never;
    const double daily = s->swing > 0.0 ? s->period / steps_in_a_period : never;
    return s->season > 0.0 ? std::min(daily, year_of_seasons / steps_in_a_period) : daily;
}

}  // namespace oxfade::plant
