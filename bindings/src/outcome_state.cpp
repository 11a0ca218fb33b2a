#include <pybind11/numpy.h>
#include <pybind11/stl.h>

#include <tuple>
#include <type_traits>

#include "run_views.hpp"

/// Every number of an outcome, said once, so that a run can be sent to another process.
namespace oxfade::python {
namespace {

namespace py = pybind11;
using namespace outcome;

template <class T, class Wanted>
concept Is = std::is_same_v<std::remove_const_t<T>, Wanted>;

template <Is<Stretch> T>
auto parts(T& s) {
    return std::tie(s.begin, s.end);
}
template <Is<PipeOutcome> T>
auto parts(T& p) {
    return std::tie(p.name, p.oxygen, p.time_to_target, p.oxygen_exposure, p.copies, p.cell_ends);
}
template <Is<Reading> T>
auto parts(T& r) {
    return std::tie(r.name, r.vent, r.pipe, r.cell, r.oxygen, r.time_to_target);
}
template <Is<Resolution> T>
auto parts(T& r) {
    return std::tie(r.cells, r.pipes_as_given, r.compared_with);
}
template <Is<Variation> T>
auto parts(T& v) {
    return std::tie(v.what, v.value, v.time_to_target);
}
template <Is<RemedyChange> T>
auto parts(T& c) {
    return std::tie(c.riser, c.lines, c.all_lines, c.orifice, c.low, c.high, c.cycles);
}
template <Is<Remedy> T>
auto parts(T& r) {
    return std::tie(r.kind, r.changes, r.duration, r.demand_share, r.time_to_target, r.on_air, r.too_large);
}
template <Is<OxygenLimit> T>
auto parts(T& l) {
    return std::tie(l.time, l.concentration, l.flux, l.current_density, l.penetration, l.penetration_on_air);
}
template <Is<LowPointOutcome> T>
auto parts(T& w) {
    return std::tie(w.name, w.water_at_start, w.water_at_end, w.closed_at_end, w.bubbling_at_end,
                    w.closed_time, w.breaks, w.first_break, w.drained_at, w.carried, w.stopped_vent,
                    w.stopped_at, w.stopped_at_end, w.pressure_behind, w.oxygen_limit);
}
template <Is<RiserOutcome> T>
auto parts(T& r) {
    return std::tie(r.name, r.fill_start, r.fill_time, r.fill_limit, r.fill_met, r.time_to_target,
                    r.at_target, r.limiting_pipe, r.limiting_cell, r.not_met_because, r.final_pressure,
                    r.volume, r.vented, r.leaked, r.supplied, r.lowest_in_service, r.highest_in_service,
                    r.steady_demand, r.pipes, r.low_points, r.dew_point, r.time_without_water,
                    r.worst_without_water, r.condensed, r.refills, r.lost_in_trips, r.oxygen_exposure,
                    r.time_at_readings, r.time_of_average, r.time_everywhere, r.readings, r.average_oxygen,
                    r.space_error_of_time, r.space_error_of_oxygen);
}
template <Is<plant::Action> T>
auto parts(T& a) {
    return std::tie(a.at, a.deed, a.riser, a.what, a.key, a.value, a.duration);
}
template <Is<RiserStretch> T>
auto parts(T& r) {
    return std::tie(r.oxygen_begin, r.oxygen_end, r.pressure_end, r.lowest, r.highest, r.fill_time,
                    r.time_to_target, r.supplied, r.vented, r.leaked);
}
template <Is<RunStretch> T>
auto parts(T& s) {
    return std::tie(s.begin, s.end, s.actions, s.running, s.on_air, s.starts, s.made_nitrogen, s.risers);
}
template <Is<SourceOutcome> T>
auto parts(T& s) {
    return std::tie(s.running, s.on_air, s.air_after_fill, s.starts, s.made_nitrogen, s.made_air, s.energy,
                    s.empty_at, s.steady_daily_run);
}
template <Is<Balance> T>
auto parts(T& b) {
    return std::tie(b.in, b.out, b.stored_change, b.worst_relative);
}
template <Is<Message::Value> T>
auto parts(T& v) {
    return std::tie(v.si, v.dimension);
}
template <Is<Message> T>
auto parts(T& m) {
    return std::tie(m.code, m.level, m.where, m.text, m.values, m.places);
}
template <Is<Series> T>
auto parts(T& s) {
    return std::tie(s.columns, s.data);
}
template <Is<History> T>
auto parts(T& h) {
    return std::tie(h.times, h.pressure, h.oxygen, h.receiver_pressure, h.supplied, h.vented, h.leaked,
                    h.running, h.on_air, h.zone_pressure, h.zone_of, h.water, h.passages, h.vents);
}
template <Is<Effort> T>
auto parts(T& e) {
    return std::tie(e.steps, e.rejected, e.events, e.wall_time);
}
template <Is<Outcome> T>
auto parts(T& o) {
    return std::tie(o.title, o.duration, o.target, o.nitrogen_purity, o.risers, o.source, o.balance,
                    o.messages, o.history, o.effort, o.stretches, o.resolution, o.variations, o.target_at,
                    o.remedies);
}

template <class T>
concept Structure = requires(T& t) {
    parts(t);
};
template <class T>
inline constexpr bool is_vector = false;
template <class T>
inline constexpr bool is_vector<std::vector<T>> = true;
template <class T>
inline constexpr bool is_optional = false;
template <class T>
inline constexpr bool is_optional<std::optional<T>> = true;

template <class T>
py::object save(const T& value) {
    if constexpr (Structure<const T>) {
        return std::apply([](const auto&... part) { return py::make_tuple(save(part)...); }, parts(value));
    } else if constexpr (std::is_enum_v<T>) {
        return py::int_(static_cast<int>(value));
    } else if constexpr (is_optional<T>) {
        return value ? save(*value) : py::none();
    } else if constexpr (std::is_same_v<T, std::vector<double>>) {
        return py::array_t<double>(static_cast<py::ssize_t>(value.size()), value.data());
    } else if constexpr (is_vector<T>) {
        py::list list;
        for (const auto& item : value) list.append(save(item));
        return list;
    } else {
        return py::cast(value);
    }
}

template <class T>
void restore(py::handle state, T& value) {
    if constexpr (Structure<T>) {
        const auto list = py::cast<py::tuple>(state);
        std::size_t index = 0;
        std::apply([&](auto&... part) { (restore(list[index++], part), ...); }, parts(value));
    } else if constexpr (std::is_enum_v<T>) {
        value = static_cast<T>(py::cast<int>(state));
    } else if constexpr (is_optional<T>) {
        if (!state.is_none()) restore(state, value.emplace());
    } else if constexpr (std::is_same_v<T, std::vector<double>>) {
        const auto array = py::cast<py::array_t<double>>(state);
        value.assign(array.data(), array.data() + array.size());
    } else if constexpr (is_vector<T>) {
        for (const py::handle& item : py::cast<py::list>(state)) restore(item, value.emplace_back());
    } else {
        value = py::cast<T>(state);
    }
}

}  // namespace

py::tuple outcome_state(const outcome::Outcome& outcome) { return save(outcome); }

outcome::Outcome outcome_from(const py::tuple& state) {
    outcome::Outcome outcome;
    restore(state, outcome);
    return outcome;
}

}  // namespace oxfade::python
