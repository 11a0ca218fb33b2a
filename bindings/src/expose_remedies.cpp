#include <array>

#include "arrays.hpp"
#include "oxfade/study/remedies.hpp"
#include "report/variations.hpp"
#include "run_docs.hpp"
#include "run_views.hpp"
#include "view_members.hpp"

/// What would help where the target is missed.
namespace oxfade::python {
namespace {

using outcome::Remedy;
using outcome::RemedyChange;

const char* word_for(Remedy::Kind kind) {
    constexpr std::array words{"vents", "cycles", "longer"};
    return words.at(static_cast<std::size_t>(kind));
}

/// NaN for every riser where nothing was run.
py::array_t<double> times_of(const RemedyView& r) {
    auto times = (*r).time_to_target;
    times.resize(r.run->outcome.risers.size());
    return array_of(times);
}

py::tuple changes_of(const RemedyView& r) { return views_of<RemedyChangeView>((*r).changes.size(), r); }

std::string riser_of(const RemedyChangeView& c) { return c.remedy.run->outcome.risers.at((*c).riser).name; }

/// A number that means something for one kind of remedy alone.
template <class Number>
std::optional<Number> only_of(Remedy::Kind kind, const RemedyChangeView& c, Number RemedyChange::*member) {
    if ((*c.remedy).kind != kind) return std::nullopt;
    return (*c).*member;
}

std::optional<double> vent_diameter(const RemedyChangeView& c) {
    if ((*c.remedy).kind == Remedy::Kind::longer) return std::nullopt;
    return (*c).orifice;
}

void expose_change(py::module_& module) {
    using C = RemedyChangeView;
    py::class_<C> cls(module, "RemedyChange", "What a remedy does to one riser.");
    cls.def_property_readonly("riser", &riser_of, "str: the riser.");
    cls.def_property_readonly(
        "lines", [](const C& c) { return only_of(Remedy::Kind::vents, c, &RemedyChange::lines); },
        "int: branch lines that get a vent at their far end [count]; None but for vents.");
    cls.def_property_readonly(
        "all_lines", [](const C& c) { return only_of(Remedy::Kind::vents, c, &RemedyChange::all_lines); },
        "int: of so many branch lines without one [count]; None but for vents.");
    cls.def_property_readonly("vent_diameter_m", &vent_diameter,
                              "Bore of those vents, or of the one that cycles [m]; None for more time.");
    cls.def_property_readonly(
        "low_pa", [](const C& c) { return only_of(Remedy::Kind::cycles, c, &RemedyChange::low); },
        "Absolute pressure its cycles go down to [Pa]; None but for cycles.");
    cls.def_property_readonly(
        "high_pa", [](const C& c) { return only_of(Remedy::Kind::cycles, c, &RemedyChange::high); },
        "Absolute pressure its cycles go up to [Pa]; None but for cycles.");
    cls.def_property_readonly(
        "cycles", [](const C& c) { return (*c).cycles; },
        "int: cycles until the target is met, or in all [count]; None but for cycles.");
    cls.def("__repr__", [](const C& c) { return "<RemedyChange of '" + riser_of(c) + "'>"; });
    cls.def("__reduce__", [](const C& c) {
        return py::make_tuple(py::cast(c.remedy).attr("_change"), py::make_tuple(c.change));
    });
}

}  // namespace

std::optional<bool> leak_place_decides(const RiserView& riser) {
    if (riser.run->outcome.variations.empty()) return std::nullopt;
    return report::detail::leak_place_decides(riser.run->outcome, riser.riser);
}

py::tuple run_remedies(const std::shared_ptr<Run>& run) {
    return views_of<RemedyView>(run->outcome.remedies.size(), run);
}

Model with_remedy(const Run& run, const RemedyView& remedy) {
    if (remedy.run.get() != &run) {
        throw InputError(
            {Problem{"remedy", {}, "belongs to another run", "one of this run's `remedies`", {}, 0}});
    }
    Model model = run.model;
    model.plant = study::with_remedy(run.model.plant, run.outcome, *remedy);
    model.origin.reset();
    return model;
}

void expose_remedies(py::module_& module) {
    expose_change(module);
    using R = RemedyView;
    py::class_<R> cls(module, "Remedy",
                      "Something that a fitter can do about a missed target, and the days it would take.");
    cls.def_property_readonly(
        "kind", [](const R& r) { return word_for((*r).kind); },
        "str: 'vents' at the far ends of branch lines, pressure 'cycles', or 'longer', nothing but more "
        "time.");
    cls.def_property_readonly("changes", &changes_of,
                              "tuple of RemedyChange: one for each riser that misses its target.");
    add<R>(cls, "simulated_s", &Remedy::duration, "How long its run lasted [s].");
    cls.def_property_readonly("time_to_target_s", &times_of,
                              "Times to target [s], shape (risers,); NaN where it is not met, or not run.");
    add<R>(cls, "demand_share", &Remedy::demand_share,
           "Steady demand over what the separator makes [1]; None but for vents on a generator.");
    add<R>(cls, "on_air", &Remedy::on_air, "bool: whether the source would fall back on air: no remedy.");
    add<R>(cls, "too_large", &Remedy::too_large,
           "bool: whether even the smallest vents would take more than the separator makes: not run.");
    cls.def("_change", [](const R& r, std::size_t k) {
        return RemedyChangeView{r, k < (*r).changes.size() ? k : throw py::index_error()};
    });
    cls.def("__repr__", [](const R& r) { return std::string("<Remedy '") + word_for((*r).kind) + "'>"; });
    cls.def("__reduce__", [](const R& r) {
        return py::make_tuple(py::cast(r.run).attr("_remedy"), py::make_tuple(r.remedy));
    });
}

}  // namespace oxfade::python
