#include "pickling.hpp"
#include "run_views.hpp"
#include "view_members.hpp"

/// Water at low points, and what it does to the steel.
namespace oxfade::python {
namespace {

/// A limit in a result of its own: a few numbers that need no run to stand on.
py::object oxygen_limit(const LowPointView& w) {
    return (*w).oxygen_limit ? py::cast(*(*w).oxygen_limit) : py::none();
}

void expose_oxygen_limit(py::module_& module) {
    using L = outcome::OxygenLimit;
    py::class_<L> cls(module, "OxygenLimit",
                      "The most that dissolved oxygen does to steel under water. Not a prediction of life.");
    const auto add_number = [&](const char* name, double L::*member, const char* doc) {
        cls.def_property_readonly(
            name, [member](const L& l) { return l.*member; }, doc);
    };
    add_number("wet_s", &L::time, "How long the water lay there unfrozen [s].");
    add_number("dissolved_oxygen_mol_per_m3", &L::concentration, "Mean oxygen in it [mol/m3].");
    add_number("oxygen_flux_mol_per_m2_s", &L::flux, "What reaches the steel [mol/(m2 s)].");
    add_number("current_a_per_m2", &L::current_density, "The same as a current density [A/m2].");
    add_number("penetration_m_per_s", &L::penetration, "Depth of steel it takes [m/s].");
    add_number("penetration_on_air_m_per_s", &L::penetration_on_air,
               "The same were the piping on air [m/s].");
    add_pickling(
        cls,
        [](const L& l) {
            return py::make_tuple(l.time, l.concentration, l.flux, l.current_density, l.penetration,
                                  l.penetration_on_air);
        },
        [](const py::tuple& t) {
            const auto at = [&](std::size_t i) { return py::cast<double>(t[i]); };
            return L{at(0), at(1), at(2), at(3), at(4), at(5)};
        });
}

}  // namespace

void expose_low_points(py::module_& module) {
    expose_oxygen_limit(module);
    using W = outcome::LowPointOutcome;
    py::class_<LowPointView> cls(module, "LowPointRun", "What became of water at a low point.");
    add<LowPointView>(cls, "name", &W::name, "str: the low point.");
    add<LowPointView>(cls, "water_start_m3", &W::water_at_start, "Water at the start [m3].");
    add<LowPointView>(cls, "water_end_m3", &W::water_at_end, "Water at the end [m3].");
    add<LowPointView>(cls, "closed_at_end", &W::closed_at_end, "bool: whether no gas passes at the end.");
    add<LowPointView>(cls, "bubbling_at_end", &W::bubbling_at_end,
                      "bool: whether gas bubbles through at the end.");
    add<LowPointView>(cls, "closed_s", &W::closed_time, "Time in all that no gas passed [s].");
    add<LowPointView>(cls, "breaks", &W::breaks, "int: times that gas began to bubble through [count].");
    add<LowPointView>(cls, "first_break_s", &W::first_break,
                      "The first of them [s]; None when there was none.");
    add<LowPointView>(cls, "drained_s", &W::drained_at, "When it was drained last [s]; None when never.");
    add<LowPointView>(cls, "carried_m3", &W::carried, "Water that went with the gas towards vents [m3].");
    add<LowPointView>(cls, "stopped_vent", &W::stopped_vent,
                      "str: the vent whose liquid stop it shut, empty when none.");
    add<LowPointView>(cls, "stopped_at_end", &W::stopped_at_end,
                      "bool: whether that is still shut at the end.");
    add<LowPointView>(cls, "pressure_behind_pa", &W::pressure_behind,
                      "Absolute pressure behind it at the end [Pa].");
    cls.def_property_readonly(
        "oxygen_limit", &oxygen_limit,
        "OxygenLimit: the most that oxygen did to the steel under it; None where no water lay.");
    cls.def("__repr__", [](const LowPointView& w) { return "<LowPointRun '" + (*w).name + "'>"; });
    cls.def("__reduce__",
            [](const LowPointView& w) { return reduce_to(py::cast(w.riser), "low_point", (*w).name); });
}

}  // namespace oxfade::python
