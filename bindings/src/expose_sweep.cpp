#include <pybind11/numpy.h>

#include <span>
#include <utility>
#include <variant>

#include "convert.hpp"
#include "expose.hpp"
#include "oxfade/report/study_sweep.hpp"
#include "oxfade/study/sweep.hpp"
#include "record.hpp"
#include "run_options.hpp"
#include "run_study.hpp"

namespace oxfade::python {

template <class Visit>
void describe(Kind<study::Normal>, Visit&& visit) {
    visit(
        "mean", [](auto& d) -> auto& { return d.mean; }, "Middle of it [unit of the key].", Need::required);
    visit(
        "deviation", [](auto& d) -> auto& { return d.deviation; },
        "Standard deviation, above 0 [unit of the key].", Need::required);
    visit(
        "low", [](auto& d) -> auto& { return d.low; }, "Cut off below this [unit of the key].",
        Need::optional);
    visit(
        "high", [](auto& d) -> auto& { return d.high; }, "Cut off above this [unit of the key].",
        Need::optional);
}

template <class Visit>
void describe(Kind<study::Uniform>, Visit&& visit) {
    visit(
        "low", [](auto& d) -> auto& { return d.low; }, "Least value [unit of the key].", Need::required);
    visit(
        "high", [](auto& d) -> auto& { return d.high; }, "Greatest value [unit of the key].", Need::required);
}

template <class Visit>
void describe(Kind<study::Triangular>, Visit&& visit) {
    visit(
        "low", [](auto& d) -> auto& { return d.low; }, "Least value [unit of the key].", Need::required);
    visit(
        "mode", [](auto& d) -> auto& { return d.mode; }, "Likeliest value [unit of the key].",
        Need::required);
    visit(
        "high", [](auto& d) -> auto& { return d.high; }, "Greatest value [unit of the key].", Need::required);
}

namespace {

using Column = py::array_t<double, py::array::c_style | py::array::forcecast>;

struct ToPython {
    template <class T>
    py::object operator()(const T& value) const {
        return py::cast(value);
    }
};

/// Values of runs as an array, in the order of the runs.
template <class Get>
py::array_t<double> of_runs(const study::SweepResult& result, Get get) {
    py::array_t<double> array(static_cast<py::ssize_t>(result.runs.size()));
    double* out = array.mutable_data();
    for (const study::SweepRun& run : result.runs) *out++ = static_cast<double>(get(run));
    return array;
}

py::array_t<double> values_of_runs(const study::SweepOptions& options, const study::SweepResult& result) {
    py::array_t<double> array({result.runs.size(), options.axes.size() + options.unknowns.size()});
    double* out = array.mutable_data();
    for (std::size_t k = 0; k < result.runs.size(); ++k) {
        for (const double value : study::sweep_values(options, k)) *out++ = value;
    }
    return array;
}

using Axes = std::vector<std::pair<std::string, std::variant<std::string, std::vector<double>>>>;
using Unknowns = std::vector<std::pair<std::string, std::variant<std::string, study::Distribution>>>;

/// All problems of all keys at once.
template <class Given, class Parse>
auto parse_all(const Given& given, const Parse& parse, std::vector<Problem>& problems) {
    std::vector<decltype(parse(given.front().first, given.front().second))> values;
    for (const auto& [key, value] : given) {
        try {
            values.push_back(parse(key, value));
        } catch (const InputError& error) {
            problems.insert(problems.end(), error.problems().begin(), error.problems().end());
        }
    }
    return values;
}

study::SweepOptions options_of(const Model& model, const Axes& axes, const Unknowns& unknowns) {
    const auto axis = [&](const std::string& key, const auto& value) -> study::Axis {
        const auto* text = std::get_if<std::string>(&value);
        if (text != nullptr) return study::parse_axis(key + '=' + *text, model.plant);
        return {study::Parameter(model.plant, key).key(), std::get<std::vector<double>>(value)};
    };
    const auto unknown = [&](const std::string& key, const auto& value) -> study::Unknown {
        const auto* text = std::get_if<std::string>(&value);
        if (text != nullptr) return study::parse_unknown(key + '=' + *text, model.plant);
        return {study::Parameter(model.plant, key).key(), std::get<study::Distribution>(value)};
    };
    study::SweepOptions options;
    std::vector<Problem> problems;
    options.axes = parse_all(axes, axis, problems);
    options.unknowns = parse_all(unknowns, unknown, problems);
    if (!problems.empty()) throw InputError(std::move(problems));
    return options;
}

py::dict result_of(const Model& model, const study::SweepOptions& options, const study::SweepResult& result) {
    py::dict raw = study_texts(
        model, [&](const auto& units) { return report::sweep_text(model.plant, result, units); },
        [&](const auto& units) { return report::sweep_json(model.plant, result, units); });
    py::list axes, unknowns, errors;
    for (const study::Axis& axis : result.axes)
        axes.append(py::make_tuple(
            axis.key, py::array_t<double>(static_cast<py::ssize_t>(axis.values.size()), axis.values.data())));
    for (const study::Unknown& unknown : result.unknowns)
        unknowns.append(py::make_tuple(unknown.key, std::visit(ToPython{}, unknown.distribution)));
    for (const study::SweepRun& run : result.runs) errors.append(run.error);
    raw["axes"] = axes;
    raw["unknowns"] = unknowns;
    raw["error"] = errors;
    raw["runs_per_point"] = result.runs_per_point;
    raw["resumed"] = result.resumed;
    raw["csv"] = report::sweep_csv(options, result, report_units(model, std::nullopt));
    raw["values"] = values_of_runs(options, result);
    raw["time_to_target_s"] = of_runs(result, [](const auto& run) { return run.time_to_target; });
    raw["longest_fill_s"] = of_runs(result, [](const auto& run) { return run.longest_fill; });
    raw["air_after_fill_s"] = of_runs(result, [](const auto& run) { return run.air_after_fill; });
    raw["running_s"] = of_runs(result, [](const auto& run) { return run.running; });
    raw["nitrogen_std_m3"] = of_runs(result, [&](const auto& run) {
        return plant::standard_volume(model.plant.site.reference, run.nitrogen);
    });
    raw["fills_met"] = of_runs(result, [](const auto& run) { return run.fills_met ? 1.0 : 0.0; });
    return raw;
}

struct SweepWishes {
    std::size_t runs = 0;
    std::uint64_t seed = 0;
    std::optional<double> within;
    unsigned threads = 0;
    std::string store;
};

py::dict sweep(const Model& model, const Axes& axes, const Unknowns& unknowns, const SweepWishes& wishes,
               std::optional<double> relative_tolerance, const py::object& progress) {
    study::SweepOptions options = options_of(model, axes, unknowns);
    options.runs = wishes.runs;
    options.seed = wishes.seed;
    options.within = wishes.within;
    options.threads = wishes.threads;
    options.store = wishes.store;
    options.relative_tolerance = run_options(model, relative_tolerance).relative_tolerance;
    const auto result = run_study(progress, [&](const StudyProgress& heed) {
        options.progress = heed;
        return study::sweep(model.plant, options);
    });
    return result_of(model, options, result);
}

/// Coordinates of all runs of a design, shape (runs, unknowns).
py::array_t<double> coordinates(std::size_t unknowns, std::size_t rows, std::uint64_t seed) {
    const study::SobolDesign design{unknowns, rows, seed};
    py::array_t<double> array({design.runs(), unknowns});
    double* out = array.mutable_data();
    for (std::size_t run = 0; run < design.runs(); ++run) {
        for (std::size_t i = 0; i < unknowns; ++i) *out++ = design.coordinate(run, i);
    }
    return array;
}

/// First-order, its error, total, its error: shape (unknowns, 4); no rows where the results say nothing.
py::array_t<double> indices(std::size_t unknowns, std::size_t rows, std::uint64_t seed, const Column& results,
                            int resamples) {
    if (static_cast<std::size_t>(results.size()) != study::SobolDesign{unknowns, rows, seed}.runs()) {
        throw InputError({Problem{"results",
                                  std::to_string(results.size()),
                                  "are not as many as the design has runs",
                                  std::to_string(study::SobolDesign{unknowns, rows, seed}.runs()),
                                  {},
                                  0}});
    }
    const std::span<const double> values(results.data(), static_cast<std::size_t>(results.size()));
    std::vector<study::SobolIndex> found;
    {
        const py::gil_scoped_release released;
        found = study::sobol_indices({unknowns, rows, seed}, values, resamples);
    }
    py::array_t<double> array({found.size(), std::size_t{4}});
    double* out = array.mutable_data();
    for (const study::SobolIndex& index : found) {
        *out++ = index.first;
        *out++ = index.first_error;
        *out++ = index.total;
        *out++ = index.total_error;
    }
    return array;
}

}  // namespace

void expose_sweep(py::module_& module) {
    bind_record<study::Normal>(module, "Normal",
                               "A normal distribution of what is not known, cut off at its ends if wanted.");
    bind_record<study::Uniform>(module, "Uniform", "Anything between two values, each alike.");
    bind_record<study::Triangular>(module, "Triangular", "A least, a likeliest and a greatest value.");
    module.def(
        "_sweep",
        [](const Model& model, const Axes& axes, const Unknowns& unknowns, std::size_t runs,
           std::uint64_t seed, std::optional<double> within, unsigned threads, const std::string& store,
           std::optional<double> relative_tolerance, const py::object& progress) {
            return sweep(model, axes, unknowns, {runs, seed, within, threads, store}, relative_tolerance,
                         progress);
        },
        "Texts and arrays of a sweep; see oxfade.sweep.");
    module.def(
        "_quantiles",
        [](const study::Distribution& distribution, const Column& probabilities) {
            py::array_t<double> array(probabilities.size());
            if (const auto wrong = study::find_unsound(distribution))
                throw InputError({Problem{"distribution", {}, wrong->what, wrong->allowed, {}, 0}});
            for (py::ssize_t k = 0; k < probabilities.size(); ++k)
                array.mutable_data()[k] = study::quantile(distribution, probabilities.data()[k]);
            return array;
        },
        "Values below which shares of a distribution lie; see oxfade.SobolDesign.");
    module.def("_sobol_coordinates", &coordinates, "Runs of a design; see oxfade.SobolDesign.");
    module.def("_sobol_indices", &indices, "Indices from results; see oxfade.SobolDesign.");
}

}  // namespace oxfade::python
