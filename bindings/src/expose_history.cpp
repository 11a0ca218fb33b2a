#include <algorithm>

#include "arrays.hpp"
#include "expose.hpp"
#include "run_views.hpp"
#include "view_members.hpp"

namespace oxfade::python {
namespace {

py::ssize_t length(std::size_t n) { return static_cast<py::ssize_t>(n); }

py::array_t<double> series(const outcome::Series& series, std::size_t rows, const HistoryView& history) {
    return view_of(series.data, {length(rows), length(series.columns)}, py::cast(history.run));
}

/// (riser, pipe, cell) of every column of `oxygen`; cells count from 1.
py::tuple compartments(const HistoryView& history) {
    py::list list;
    for (const outcome::RiserOutcome& riser : history.run->outcome.risers) {
        for (const outcome::PipeOutcome& pipe : riser.pipes) {
            for (std::size_t cell = 1; cell <= pipe.oxygen.size(); ++cell) {
                list.append(py::make_tuple(riser.name, pipe.name, cell));
            }
        }
    }
    return list;
}

/// (riser, low point) of every column of `water_m3`.
py::tuple low_points(const HistoryView& history) {
    py::list list;
    for (const outcome::RiserOutcome& riser : history.run->outcome.risers) {
        for (const outcome::LowPointOutcome& low_point : riser.low_points)
            list.append(py::make_tuple(riser.name, low_point.name));
    }
    return list;
}

/// Column by column of `oxygen`: of the zone that the compartment is in.
py::array_t<double> compartment_pressure(const HistoryView& history) {
    const outcome::History& h = *history;
    py::array_t<double> array({length(h.times.size()), length(h.oxygen.columns)});
    double* out = array.mutable_data();
    for (std::size_t row = 0; row < h.times.size(); ++row) {
        std::size_t column = 0, riser = 0;
        for (const outcome::RiserOutcome& r : history.run->outcome.risers) {
            for (const outcome::PipeOutcome& pipe : r.pipes) {
                for (std::size_t cell = 0; cell < pipe.oxygen.size(); ++cell)
                    *out++ = h.pressure_at(row, column++, riser);
            }
            ++riser;
        }
    }
    return array;
}

/// Amounts of gas as standard volumes, a new array.
py::array_t<double> volumes(const outcome::Series& amounts, const HistoryView& history) {
    py::array_t<double> array({length((*history).times.size()), length(amounts.columns)});
    std::transform(amounts.data.begin(), amounts.data.end(), array.mutable_data(),
                   [&](double moles) { return standard_m3(*history.run, moles); });
    return array;
}

py::object machine_time(const std::vector<double>& times, const HistoryView& history) {
    if (times.empty()) return py::none();
    return view_of(times, {length(times.size())}, py::cast(history.run));
}

/// (riser, vent) of every column of `vents_open`.
py::tuple vents(const HistoryView& history) {
    py::list list;
    for (const plant::Riser& riser : history.run->model.plant.risers) {
        for (const plant::Vent& vent : riser.vents) list.append(py::make_tuple(riser.name, vent.name));
    }
    return list;
}

py::array_t<bool> vents_open(const HistoryView& history) {
    const outcome::History& h = *history;
    py::array_t<bool> array({length(h.times.size()), length(vents(history).size())});
    std::transform(h.vents.begin(), h.vents.end(), array.mutable_data(),
                   [](outcome::VentState state) { return state == outcome::VentState::open; });
    return array;
}

void add_amounts(py::class_<HistoryView>& cls) {
    cls.def_property_readonly(
           "supplied_std_m3", [](const HistoryView& h) { return volumes((*h).supplied, h); },
           "Standard volumes let in from the start to then [m3], shape (n, risers), a new array.")
        .def_property_readonly(
            "vented_std_m3", [](const HistoryView& h) { return volumes((*h).vented, h); },
            "Standard volumes out of vents, less in, from the start to then [m3], shape (n, risers), a new "
            "array.")
        .def_property_readonly(
            "leaked_std_m3", [](const HistoryView& h) { return volumes((*h).leaked, h); },
            "Standard volumes out of leaks, less in, from the start to then [m3], shape (n, risers), a new "
            "array.")
        .def_property_readonly(
            "running_s", [](const HistoryView& h) { return machine_time((*h).running, h); },
            "Times that the machine ran by then [s], shape (n,); None for cylinders.")
        .def_property_readonly(
            "air_s", [](const HistoryView& h) { return machine_time((*h).on_air, h); },
            "Of that, on plain air [s], shape (n,); None for cylinders.")
        .def_property_readonly("vents_open", &vents_open,
                               "Array of bool, shape (n, vents): True while gas may pass, False while shut "
                               "or its liquid stop is.")
        .def_property_readonly("vents", &vents,
                               "tuple of (riser, vent), one for each column of `vents_open`.");
}

py::array_t<bool> blocked(const HistoryView& history) {
    const outcome::History& h = *history;
    py::array_t<bool> array({length(h.times.size()), length(h.water.columns)});
    std::transform(h.passages.begin(), h.passages.end(), array.mutable_data(),
                   [](outcome::Passage passage) { return passage == outcome::Passage::none; });
    return array;
}

}  // namespace

void expose_history(py::module_& module) {
    py::class_<HistoryView> cls(
        module, "History", "Time series of a run: read-only NumPy arrays that look into the run itself.");
    add_amounts(cls);
    cls.def_property_readonly(
           "times_s",
           [](const HistoryView& h) {
               return view_of((*h).times, {length((*h).times.size())}, py::cast(h.run));
           },
           "Times [s] from the start of the run, shape (n,).")
        .def_property_readonly(
            "pressure_pa", [](const HistoryView& h) { return series((*h).pressure, (*h).times.size(), h); },
            "Absolute pressures [Pa], shape (n, risers).")
        .def_property_readonly(
            "oxygen", [](const HistoryView& h) { return series((*h).oxygen, (*h).times.size(), h); },
            "Mole fractions of oxygen in the dry gas [1], shape (n, compartments).")
        .def_property_readonly(
            "receiver_pressure_pa",
            [](const HistoryView& h) -> py::object {
                const auto& pressure = (*h).receiver_pressure;
                if (pressure.empty()) return py::none();
                return view_of(pressure, {length(pressure.size())}, py::cast(h.run));
            },
            "Absolute pressures of the receiver [Pa], shape (n,); None for cylinders.")
        .def_property_readonly("compartments", &compartments,
                               "tuple of (riser, pipe, cell), one for each column of `oxygen`; cells from 1.")
        .def_property_readonly(
            "compartment_pressure_pa", &compartment_pressure,
            "Absolute pressures of compartments [Pa], shape (n, compartments), a new array: apart "
            "from `pressure_pa` behind water and with friction.")
        .def_property_readonly(
            "water_m3", [](const HistoryView& h) { return series((*h).water, (*h).times.size(), h); },
            "Volumes of water at low points [m3], shape (n, low points).")
        .def_property_readonly(
            "blocked", &blocked,
            "Array of bool, shape (n, low points): True while no gas passes the water there.")
        .def_property_readonly(
            "low_points", &low_points,
            "tuple of (riser, low point), one for each column of `water_m3` and `blocked`.")
        .def("__repr__",
             [](const HistoryView& h) {
                 return "<History: " + std::to_string((*h).times.size()) + " times, " +
                        std::to_string((*h).oxygen.columns) + " compartments>";
             })
        .def("__reduce__", [](const HistoryView& h) {
            const py::object get = py::module_::import("builtins").attr("getattr");
            return py::make_tuple(get, py::make_tuple(py::cast(h.run), "history"));
        });
}

}  // namespace oxfade::python
