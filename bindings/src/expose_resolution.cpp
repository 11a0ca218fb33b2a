#include <array>

#include "arrays.hpp"
#include "convert.hpp"
#include "oxfade/report/units.hpp"
#include "pickling.hpp"
#include "run_docs.hpp"
#include "run_views.hpp"
#include "view_members.hpp"

/// What is read at vents and sampling points, how the piping was cut, and what else the days might be.
namespace oxfade::python {
namespace {

using outcome::Resolution;
using outcome::Variation;

const char* word_for(Variation::What what) {
    constexpr std::array words{"leaks_at_entry", "leaks_at_far_ends", "mouth", "warm_end"};
    return words.at(static_cast<std::size_t>(what));
}

}  // namespace

void expose_readings(py::module_& module) {
    using R = outcome::Reading;
    py::class_<ReadingView> cls(module, "ReadingRun",
                                "What an analyser shows at a vent or a sampling point.");
    add<ReadingView>(cls, "name", &R::name, "str: the vent or sampling point.");
    add<ReadingView>(cls, "vent", &R::vent, "bool: whether it is a vent.");
    add<ReadingView>(cls, "pipe", &R::pipe, "str: the pipe it is on.");
    cls.def_property_readonly(
        "cell", [](const ReadingView& r) { return (*r).cell + 1; }, "int: its cell [count], from 1.");
    add<ReadingView>(cls, "oxygen", &R::oxygen, "Mole fraction of oxygen at the end [1].");
    add<ReadingView>(cls, "time_to_target_s", &R::time_to_target,
                     "When it reads the target to stay [s]; None when below at the end.");
    cls.def("__repr__", [](const ReadingView& r) {
        return "<ReadingRun " + quoted((*r).name) + ": " + report::format_percent((*r).oxygen) +
               " oxygen at the end>";
    });
    cls.def("__reduce__",
            [](const ReadingView& r) { return reduce_to(py::cast(r.riser), "reading", (*r).name); });
}

py::tuple riser_readings(const RiserView& riser) {
    return views_of<ReadingView>((*riser).readings.size(), riser);
}

void expose_resolution(py::module_& module) {
    py::class_<Resolution> resolution(module, "Resolution", "How the piping was cut into cells.");
    resolution
        .def_property_readonly(
            "cells", [](const Resolution& r) { return r.cells; }, "int: in all of the plant [count].")
        .def_property_readonly(
            "pipes_as_given", [](const Resolution& r) { return r.pipes_as_given; },
            "int: pipes whose cells the plant gives [count].")
        .def_property_readonly(
            "compared_with", [](const Resolution& r) { return r.compared_with; },
            "int: cells of the second run that the error is estimated from [count]; 0 without one.")
        .def("__repr__",
             [](const Resolution& r) { return "<Resolution: " + std::to_string(r.cells) + " cells>"; });
    add_pickling(
        resolution,
        [](const Resolution& r) { return py::make_tuple(r.cells, r.pipes_as_given, r.compared_with); },
        [](const py::tuple& t) {
            return Resolution{t[0].cast<int>(), t[1].cast<int>(), t[2].cast<int>()};
        });
    py::class_<Variation> variation(module, "Variation",
                                    "The days to target where something uncertain is otherwise.");
    variation
        .def_property_readonly(
            "what", [](const Variation& v) { return word_for(v.what); },
            "str: 'leaks_at_entry', 'leaks_at_far_ends', 'mouth' or 'warm_end'.")
        .def_property_readonly(
            "value", [](const Variation& v) { return v.value; },
            "What it is: of the mouth [bores], of the warm end [K]; unused for leaks.")
        .def_property_readonly(
            "time_to_target_s", [](const Variation& v) { return array_of(v.time_to_target); },
            "Times to target [s], shape (risers,); NaN where it is not met at the end.")
        .def("__repr__",
             [](const Variation& v) { return "<Variation '" + std::string(word_for(v.what)) + "'>"; });
    add_pickling(
        variation,
        [](const Variation& v) {
            return py::make_tuple(static_cast<int>(v.what), v.value, v.time_to_target);
        },
        [](const py::tuple& t) {
            return Variation{static_cast<Variation::What>(t[0].cast<int>()), t[1].cast<double>(),
                             t[2].cast<std::vector<std::optional<double>>>()};
        });
}

py::tuple run_variations(const Run& run) {
    py::tuple list(run.outcome.variations.size());
    for (std::size_t i = 0; i < list.size(); ++i) list[i] = py::cast(run.outcome.variations[i]);
    return list;
}

}  // namespace oxfade::python
