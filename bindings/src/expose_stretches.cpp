#include "expose.hpp"
#include "run_docs.hpp"
#include "run_views.hpp"
#include "view_members.hpp"

namespace oxfade::python {
namespace {

std::string riser_name(const RiserStretchView& r) { return r.run->outcome.risers[r.riser].name; }

py::tuple risers(const StretchView& s) {
    return views_of<RiserStretchView>((*s).risers.size(), s.run, s.stretch);
}

/// `run._stretch(k)`: how a stretch is found again after its run was pickled.
py::tuple reduce_stretch(const StretchView& s) {
    return py::make_tuple(py::cast(s.run).attr("_stretch"), py::make_tuple(s.stretch));
}

void expose_riser_stretch(py::module_& module) {
    using R = outcome::RiserStretch;
    py::class_<RiserStretchView> cls(module, "RiserStretch", "What one riser did in a stretch of a run.");
    cls.def_property_readonly("name", &riser_name, "str: the riser.");
    add<RiserStretchView>(cls, "oxygen_begin", &R::oxygen_begin,
                          "Oxygen of its worst compartment when the stretch begins [1].");
    add<RiserStretchView>(cls, "oxygen_end", &R::oxygen_end, "The same when it ends [1].");
    add<RiserStretchView>(cls, "time_to_target_s", &R::time_to_target,
                          "From the begin of the stretch to target [s]; None when below at its end.");
    add<RiserStretchView>(cls, "fill_time_s", &R::fill_time,
                          "What the fill took that was completed in it [s], else None.");
    add<RiserStretchView>(cls, "pressure_end_pa", &R::pressure_end, "Absolute pressure when it ends [Pa].");
    add<RiserStretchView>(cls, "lowest_in_service_pa", &R::lowest,
                          "Lowest absolute pressure in service [Pa]; 0 where it was not.");
    add<RiserStretchView>(cls, "highest_in_service_pa", &R::highest,
                          "Highest absolute pressure in service [Pa]; 0 where it was not.");
    add_volume<RiserStretchView>(cls, "supplied_std_m3", &R::supplied, "Standard volume let in [m3].");
    add_volume<RiserStretchView>(cls, "vented_std_m3", &R::vented,
                                 "Standard volume out of vents, less in [m3].");
    add_volume<RiserStretchView>(cls, "leaked_std_m3", &R::leaked,
                                 "Standard volume out of leaks, less in [m3].");
    cls.def("__repr__", [](const RiserStretchView& r) { return "<RiserStretch '" + riser_name(r) + "'>"; });
    cls.def("__reduce__", [](const RiserStretchView& r) {
        return reduce_to(py::cast(StretchView{r.run, r.stretch}), "riser", riser_name(r));
    });
}

}  // namespace

py::tuple run_stretches(const std::shared_ptr<Run>& run) {
    return views_of<StretchView>(run->outcome.stretches.size(), run);
}

void expose_stretches(py::module_& module) {
    expose_riser_stretch(module);
    using S = outcome::RunStretch;
    py::class_<StretchView> cls(module, "StretchRun", "A run from one date with actions to the next.");
    add<StretchView>(cls, "begin_s", &S::begin, "When it begins [s].");
    add<StretchView>(cls, "end_s", &S::end, "When it ends [s].");
    cls.def_property_readonly(
        "actions",
        [](const StretchView& s) {
            py::tuple list((*s).actions.size());
            for (std::size_t i = 0; i < list.size(); ++i) list[i] = py::cast((*s).actions[i]);
            return list;
        },
        "tuple of Action: what is done when it begins; empty for the first.");
    add<StretchView>(cls, "running_s", &S::running, "Time the machine ran [s].");
    add<StretchView>(cls, "air_s", &S::on_air, "Of that, time on plain air [s].");
    add<StretchView>(cls, "starts", &S::starts, "int: starts of the machine [count].");
    add_volume<StretchView>(cls, "nitrogen_std_m3", &S::made_nitrogen,
                            "Standard volume of product made or drawn [m3].");
    cls.def_property_readonly("risers", &risers, "tuple of RiserStretch, in file order.");
    cls.def(
        "riser",
        [](const StretchView& s, const std::string& name) {
            const std::size_t index = index_of(names_of(s.run->outcome.risers), "riser", name);
            return RiserStretchView{s.run, s.stretch, index};
        },
        py::arg("name"), docs::stretch_riser);
    cls.def("__repr__", [](const StretchView& s) {
        return "<StretchRun: " + std::to_string((*s).begin) + " s to " + std::to_string((*s).end) + " s>";
    });
    cls.def("__reduce__", &reduce_stretch);
}

}  // namespace oxfade::python
