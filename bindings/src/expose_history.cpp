#include "arrays.hpp"
#include "expose.hpp"
#include "run_views.hpp"

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

}  // namespace

void expose_history(py::module_& module) {
    py::class_<HistoryView>(module, "History",
                            "Time series of a run: read-only NumPy arrays that look into the run itself.")
        .def_property_readonly(
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
