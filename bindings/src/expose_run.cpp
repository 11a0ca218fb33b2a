#include <algorithm>
#include <utility>

#include "arrays.hpp"
#include "convert.hpp"
#include "expose.hpp"
#include "message_view.hpp"
#include "oxfade/report/csv.hpp"
#include "oxfade/report/exposure.hpp"
#include "oxfade/report/json.hpp"
#include "oxfade/report/text.hpp"
#include "oxfade/report/units.hpp"
#include "pickling.hpp"
#include "run_docs.hpp"
#include "run_views.hpp"
#include "view_members.hpp"

namespace oxfade::python {
namespace {

using RunPointer = std::shared_ptr<Run>;
using Numbers = std::optional<double>;

/// "target after 20.5 d", or what is wrong.
std::string verdict_of(const outcome::RiserOutcome& riser) {
    if (riser.time_to_target) return "target after " + report::format_time(*riser.time_to_target);
    const std::string oxygen = report::format_percent(riser.average_oxygen);
    const std::string why =
        riser.not_met_because ? std::string(code_name(*riser.not_met_because)) : "unknown";
    return "target not met (" + why + "), " + oxygen + " oxygen on average";
}

std::string riser_repr(const RiserView& riser) {
    return "<RiserRun " + quoted((*riser).name) + ": " + verdict_of(*riser) + ">";
}

// --- pipes ---------------------------------------------------------------------------------------------

void expose_pipe(py::module_& module) {
    py::class_<PipeView>(module, "PipeRun", "What one pipe of a riser did.")
        .def_property_readonly(
            "name", [](const PipeView& p) { return (*p).name; }, "str: the pipe.")
        .def_property_readonly(
            "oxygen",
            [](const PipeView& p) {
                const auto& oxygen = (*p).oxygen;
                return view_of(oxygen, {static_cast<py::ssize_t>(oxygen.size())}, py::cast(p.riser.run));
            },
            "Mole fractions of oxygen at the end [1], shape (cells,), a view without a copy.")
        .def_property_readonly(
            "time_to_target_s", [](const PipeView& p) { return array_of((*p).time_to_target); },
            "Times to target [s], shape (cells,); NaN where it is not met at the end.")
        .def_property_readonly(
            "oxygen_exposure",
            [](const PipeView& p) {
                const auto& exposure = (*p).oxygen_exposure;
                return view_of(exposure, {static_cast<py::ssize_t>(exposure.size())}, py::cast(p.riser.run));
            },
            "Integrals of the oxygen's partial pressure over those on air [1], shape (cells,), a view "
            "without a copy.")
        .def_property_readonly(
            "copies", [](const PipeView& p) { return (*p).copies; },
            "int: equal pipes that these numbers are of [count].")
        .def_property_readonly(
            "cell_ends",
            [](const PipeView& p) {
                const auto& ends = (*p).cell_ends;
                return view_of(ends, {static_cast<py::ssize_t>(ends.size())}, py::cast(p.riser.run));
            },
            "Far end of each cell over the pipe's length [1], shape (cells,), a view without a copy.")
        .def("__repr__",
             [](const PipeView& p) {
                 const auto& oxygen = (*p).oxygen;
                 const double worst = *std::max_element(oxygen.begin(), oxygen.end());
                 return "<PipeRun " + quoted((*p).name) + ": at most " + report::format_percent(worst) +
                        " oxygen at the end>";
             })
        .def("__reduce__", [](const PipeView& p) { return reduce_to(py::cast(p.riser), "pipe", (*p).name); });
}

// --- risers --------------------------------------------------------------------------------------------

py::array_t<double> spans(const std::vector<outcome::Stretch>& list) {
    py::array_t<double> array({static_cast<py::ssize_t>(list.size()), py::ssize_t{2}});
    double* out = array.mutable_data();
    for (const outcome::Stretch& stretch : list) {
        *out++ = stretch.begin;
        *out++ = stretch.end;
    }
    return array;
}

py::object not_met_because(const RiserView& r) {
    const auto& reason = (*r).not_met_because;
    return reason ? py::object(py::str(std::string(code_name(*reason)))) : py::none();
}

py::tuple pipes(const RiserView& r) { return views_of<PipeView>((*r).pipes.size(), r); }

void add_times(py::class_<RiserView>& cls) {
    using R = outcome::RiserOutcome;
    add<RiserView>(cls, "fill_start_s", &R::fill_start, "Opening of its fill [s]; None when never opened.");
    add<RiserView>(cls, "fill_time_s", &R::fill_time,
                   "From there to set pressure [s]; None when never full.");
    add<RiserView>(cls, "fill_limit_s", &R::fill_limit, "Time its fill may take [s].");
    cls.def_property_readonly(
        "refills_s", [](const RiserView& r) { return spans((*r).refills); },
        "Begin and end [s] of every later fill, after trips, shape (fills, 2).");
    add<RiserView>(cls, "fill_met", &R::fill_met, "bool: whether every fill kept its limit.");
    add<RiserView>(
        cls, "time_to_target_s", &R::time_to_target,
        "When what the plant's target_at asks for is met to stay [s]; None when below at the end.");
    add<RiserView>(cls, "time_at_readings_s", &R::time_at_readings,
                   "The same of the readings at all vents and sampling points [s].");
    add<RiserView>(cls, "time_of_average_s", &R::time_of_average,
                   "The same of the average of the gas in it [s].");
    add<RiserView>(cls, "time_everywhere_s", &R::time_everywhere, "The same of every part of it [s].");
    add<RiserView>(
        cls, "space_error_of_time_s", &R::space_error_of_time,
        "How far the cutting into cells may still move the time to target [s]; None: not estimated.");
    cls.def_property_readonly("leak_place_decides", &leak_place_decides,
                              "bool: whether where its leaks are moves the time to target by a quarter or "
                              "more, or decides whether it is met; None: not computed.");
    cls.def_property_readonly(
        "at_target_s", [](const RiserView& r) { return spans((*r).at_target); },
        "Begin and end [s] of every stretch at target, shape (stretches, 2).");
    add<RiserView>(cls, "limiting_pipe", &R::limiting_pipe,
                   "str: last to reach the target, or the worst at the end.");
    cls.def_property_readonly(
        "limiting_cell", [](const RiserView& r) { return (*r).limiting_cell + 1; },
        "int: its compartment [count], from 1.");
    cls.def_property_readonly("not_met_because", &not_met_because,
                              "str: code of the reason when it is not at target at the end, else None.");
}

void add_amounts(py::class_<RiserView>& cls) {
    using R = outcome::RiserOutcome;
    add<RiserView>(cls, "volume_m3", &R::volume, "Inside volume [m3].");
    add<RiserView>(cls, "final_pressure_pa", &R::final_pressure, "Absolute pressure at the end [Pa].");
    add<RiserView>(cls, "lowest_in_service_pa", &R::lowest_in_service,
                   "Lowest absolute pressure after the fill [Pa].");
    add<RiserView>(cls, "highest_in_service_pa", &R::highest_in_service,
                   "Highest absolute pressure after the fill [Pa].");
    add<RiserView>(cls, "average_oxygen", &R::average_oxygen,
                   "Mole fraction of oxygen of all its gas at the end [1].");
    add<RiserView>(
        cls, "space_error_of_oxygen", &R::space_error_of_oxygen,
        "How far the cutting into cells may still move the highest oxygen at the end [1]; None: not "
        "estimated.");
    add_volume<RiserView>(cls, "supplied_std_m3", &R::supplied, "Standard volume let in [m3].");
    add_volume<RiserView>(cls, "vented_std_m3", &R::vented, "Standard volume out of vents, less in [m3].");
    add_volume<RiserView>(cls, "leaked_std_m3", &R::leaked, "Standard volume out of leaks, less in [m3].");
    add_volume<RiserView>(cls, "lost_in_trips_std_m3", &R::lost_in_trips,
                          "Standard volume lost in trips, less the air that came in [m3].");
    add_volume<RiserView>(cls, "steady_demand_std_m3_per_s", &R::steady_demand,
                          "Standard flow of vents that stand open and of leaks at set pressure [m3/s].");
    add<RiserView>(cls, "oxygen_exposure", &R::oxygen_exposure,
                   "Mean of its compartments' oxygen exposures [1]; see Run.exposure_assumptions.");
    add<RiserView>(cls, "dew_point_k", &R::dew_point,
                   "Dew or frost point of its wettest compartment at the end [K]; None without low points.");
    add<RiserView>(cls, "condensed_m3", &R::condensed,
                   "Most water on the walls of its pipes at any time [m3].");
    add<RiserView>(
        cls, "time_to_target_without_water_s", &R::time_without_water,
        "What its time to target [s] would be without water, where water is the reason; else None.");
    add<RiserView>(cls, "worst_oxygen_without_water", &R::worst_without_water,
                   "Highest mole fraction of oxygen at the end without water, where water is the reason [1]; "
                   "else None.");
}

py::tuple low_points(const RiserView& r) { return views_of<LowPointView>((*r).low_points.size(), r); }

void expose_riser_view(py::module_& module) {
    expose_low_points(module);
    py::class_<RiserView> cls(module, "RiserRun", "What one riser did.");
    add<RiserView>(cls, "name", &outcome::RiserOutcome::name, "str: the riser.");
    add_times(cls);
    add_amounts(cls);
    cls.def_property_readonly("pipes", &pipes, "tuple of PipeRun, in file order.");
    cls.def(
        "pipe",
        [](const RiserView& r, const std::string& name) {
            return PipeView{r, index_of(names_of((*r).pipes), "pipe", name)};
        },
        py::arg("name"), docs::riser_run_pipe);
    cls.def_property_readonly("low_points", &low_points, "tuple of LowPointRun, in file order.");
    cls.def(
        "low_point",
        [](const RiserView& r, const std::string& name) {
            return LowPointView{r, index_of(names_of((*r).low_points), "low point", name)};
        },
        py::arg("name"), docs::riser_run_low_point);
    cls.def_property_readonly("readings", &riser_readings,
                              "tuple of ReadingRun: at vents, then at sampling points, in file order.");
    cls.def(
        "reading",
        [](const RiserView& r, const std::string& name) {
            return ReadingView{r, index_of(names_of((*r).readings), "vent or sampling point", name)};
        },
        py::arg("name"), docs::riser_run_reading);
    cls.def("__repr__", &riser_repr);
    cls.def("__reduce__", [](const RiserView& r) { return reduce_to(py::cast(r.run), "riser", (*r).name); });
}

// --- source --------------------------------------------------------------------------------------------

void expose_source_view(py::module_& module) {
    using S = outcome::SourceOutcome;
    py::class_<SourceView> cls(module, "SourceRun", "What the source did.");
    add<SourceView>(cls, "running_s", &S::running, "Time the machine ran [s].");
    add<SourceView>(cls, "air_s", &S::on_air, "Of that, time on plain air [s].");
    add<SourceView>(cls, "air_after_fill_s", &S::air_after_fill,
                    "Time on air [s] after the last riser's fill and the first stop after it.");
    add<SourceView>(cls, "starts", &S::starts, "int: starts of the machine [count].");
    add_volume<SourceView>(cls, "nitrogen_std_m3", &S::made_nitrogen,
                           "Standard volume of product made or drawn [m3].");
    add_volume<SourceView>(cls, "air_std_m3", &S::made_air, "Standard volume of plain air made [m3].");
    cls.def_property_readonly(
        "energy_kwh",
        [](const SourceView& s) -> Numbers {
            if (!(*s).energy) return std::nullopt;
            return *(*s).energy / 3.6e6;
        },
        "Electrical energy [kWh]; None where the plant gives no power.");
    add<SourceView>(cls, "empty_at_s", &S::empty_at, "When the cylinders were empty [s], else None.");
    add<SourceView>(cls, "steady_daily_run_s", &S::steady_daily_run,
                    "Running time per day in the last part of the run [s], else None.");
    cls.def("__repr__", [](const SourceView& s) {
        return "<SourceRun: ran " + report::format_time((*s).running) + ", " + std::to_string((*s).starts) +
               " starts>";
    });
    cls.def("__reduce__", [](const SourceView& s) {
        const py::object get = py::module_::import("builtins").attr("getattr");
        return py::make_tuple(get, py::make_tuple(py::cast(s.run), "source"));
    });
}

// --- run -----------------------------------------------------------------------------------------------

using Class = py::class_<Run, RunPointer>;

py::tuple risers(const RunPointer& run) { return views_of<RiserView>(run->outcome.risers.size(), run); }

void add_numbers(Class& cls) {
    const auto add_number = [&](const char* name, auto member, const char* doc) {
        cls.def_property_readonly(
            name, [member](const Run& r) { return r.outcome.*member; }, doc);
    };
    using O = outcome::Outcome;
    add_number("title", &O::title, "str: of the plant.");
    add_number("duration_s", &O::duration, "Simulated time [s].");
    add_number("target", &O::target, "Wanted purity [1]: 1 less the mole fraction of oxygen.");
    cls.def_property_readonly(
        "target_at", [](const Run& r) { return Convert<plant::TargetAt>::to_python(r.outcome.target_at); },
        "str: what has to read it, 'everywhere', the 'average' or all 'readings'.");
    add_number("nitrogen_purity", &O::nitrogen_purity, "Purity of the source's product [1].");
    cls.def_property_readonly(
        "all_met", [](const Run& r) { return r.outcome.all_met(); },
        "bool: whether every fill limit and the target are met on every riser.");
    cls.def_property_readonly(
        "balance_worst_relative", [](const Run& r) { return r.outcome.balance.worst_relative; },
        "Largest of in - out - stored over the gas handled [1].");
    cls.def_property_readonly(
        "steps", [](const Run& r) { return r.outcome.effort.steps; },
        "int: steps the computation took [count].");
    cls.def_property_readonly(
        "wall_time_s", [](const Run& r) { return r.outcome.effort.wall_time; },
        "How long the computation took [s].");
}

void add_parts(Class& cls) {
    cls.def_property_readonly(
        "plant", [](const Run& r) { return r.model; }, "Plant: what was run.");
    cls.def_property_readonly("risers", &risers, "tuple of RiserRun, in file order.");
    cls.def_property_readonly(
        "resolution", [](const Run& r) { return r.outcome.resolution; },
        "Resolution: how the piping was cut into cells.");
    cls.def_property_readonly("variations", &run_variations,
                              "tuple of Variation: the days where something uncertain is otherwise; empty "
                              "unless asked for with `vary`.");
    cls.def_property_readonly("remedies", &run_remedies,
                              "tuple of Remedy: what would help where the target is missed; empty unless "
                              "asked for with `remedies`.");
    cls.def("with_remedy", &with_remedy, py::arg("remedy"), docs::run_with_remedy);
    cls.def("_remedy", [](const RunPointer& r, std::size_t k) {
        return RemedyView{r, k < r->outcome.remedies.size() ? k : throw py::index_error()};
    });
    cls.def(
        "riser",
        [](const RunPointer& r, const std::string& name) {
            return RiserView{r, index_of(names_of(r->outcome.risers), "riser", name)};
        },
        py::arg("name"), docs::run_riser);
    cls.def_property_readonly(
        "stretches", &run_stretches,
        "tuple of StretchRun: what was done between the dates of the plant's actions; empty without any.");
    cls.def("_stretch", [](const RunPointer& r, std::size_t k) {
        return StretchView{r, k < r->outcome.stretches.size() ? k : throw py::index_error()};
    });
    cls.def_property_readonly(
        "source", [](const RunPointer& r) { return SourceView{r}; }, "SourceRun: what the source did.");
    cls.def_property_readonly(
        "history", [](const RunPointer& r) { return HistoryView{r}; },
        "History: time series as NumPy arrays, without copies.");
    cls.def_property_readonly(
        "exposure_assumptions",
        [](const Run& r) { return py::tuple(py::cast(report::exposure_assumptions(r.outcome))); },
        "tuple of str: what must be said beside any exposure: no prediction of life; then what is assumed.");
    cls.def_property_readonly(
        "messages",
        [](const Run& r) { return message_views(r.outcome.messages, report_units(r.model, std::nullopt)); },
        "tuple of Message: what an engineer should know of it.");
}

void add_reports(Class& cls) {
    const auto units = py::arg("units") = py::none();
    using System = std::optional<std::string>;
    cls.def(
        "report",
        [](const Run& r, const System& s) {
            return report::to_text(r.model.plant, r.outcome, report_units(r.model, s));
        },
        units, docs::run_report);
    cls.def(
        "to_json",
        [](const Run& r, const System& s) {
            return report::to_json(r.outcome, report_units(r.model, s), r.model.plant.assumed);
        },
        units, docs::run_to_json);
    cls.def(
        "to_csv", [](const Run& r) { return report::to_csv(r.outcome); }, docs::run_to_csv);
    cls.def(
        "to_dataframe",
        [](const py::object& r) { return py::module_::import("oxfade.frames").attr("run_frame")(r); },
        docs::run_to_dataframe);
    cls.def(
        "plot",
        [](const py::object& r, const py::kwargs& options) {
            return py::module_::import("oxfade.plots").attr("plot_run")(r, **options);
        },
        docs::run_plot);
}

std::string run_repr(const Run& run) {
    std::string text;
    for (const outcome::RiserOutcome& riser : run.outcome.risers)
        text += (text.empty() ? "" : "; ") + riser.name + ": " + verdict_of(riser);
    return "<Run " + quoted(run.outcome.title) + (run.outcome.all_met() ? ": met; " : ": not met; ") + text +
           ">";
}

}  // namespace

void expose_run(py::module_& module) {
    expose_pipe(module);
    expose_readings(module);
    expose_riser_view(module);
    expose_resolution(module);
    expose_remedies(module);
    expose_source_view(module);
    expose_stretches(module);
    Class cls(module, "Run", docs::run);
    add_numbers(cls);
    add_parts(cls);
    add_reports(cls);
    cls.def("__repr__", &run_repr);
    cls.def("_repr_html_",
            [](const py::object& r) { return py::module_::import("oxfade._html").attr("of_run")(r); });
    add_pickling(
        cls, [](const Run& r) { return py::make_tuple(py::cast(r.model), outcome_state(r.outcome)); },
        [](const py::tuple& state) {
            return std::make_shared<Run>(
                Run{state[0].cast<Model>(), outcome_from(state[1].cast<py::tuple>())});
        });
}

}  // namespace oxfade::python
