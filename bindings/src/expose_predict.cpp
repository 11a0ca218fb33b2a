#include <optional>
#include <string>

#include "convert.hpp"
#include "expose.hpp"
#include "interruptible.hpp"
#include "model.hpp"
#include "oxfade/engine/predict.hpp"
#include "oxfade/study/remedies.hpp"
#include "run_options.hpp"

namespace oxfade::python {
namespace {

engine::Method method_named(const std::string& name) {
    if (name == "linearly_implicit") return engine::Method::linearly_implicit;
    if (name == "dormand_prince") return engine::Method::dormand_prince;
    throw InputError({Problem{
        "method", name, "there is no such method", "'linearly_implicit' or 'dormand_prince'", {}, 0}});
}

/// 0 would mean: chosen.
double require_given(double refinement) {
    if (refinement != 0.0) return refinement;
    throw InputError({Problem{"refinement", "0", "is out of range", "from 0.05 to 100, or None", {}, 0}});
}

/// What is computed beside the run itself.
struct Beside {
    bool vary = false, remedies = false;
};

outcome::Outcome outcome_of(const plant::Plant& plant, const engine::Options& options, bool remedies,
                            const std::atomic<bool>& stop) {
    outcome::Outcome outcome = engine::predict(plant, options);
    if (!remedies || outcome.all_met()) return outcome;
    study::RemedyOptions search;
    search.relative_tolerance = options.relative_tolerance;
    search.progress = [&stop](std::size_t, std::size_t) { return !stop.load(); };
    outcome.remedies = study::remedies(plant, outcome, search);
    return outcome;
}

std::shared_ptr<Run> predict(const Model& model, std::size_t history_points, engine::Options options,
                             Beside beside, const py::object& progress) {
    options.history_points = history_points;
    options.vary = beside.vary;
    std::atomic<bool> stop{false};
    std::atomic<double> time{0.0};
    options.progress = [&](double now) {
        time.store(now);
        return !stop.load();
    };
    auto run = std::make_shared<Run>(Run{model, {}});
    run->outcome =
        run_interruptibly([&] { return outcome_of(run->model.plant, options, beside.remedies, stop); }, stop,
                          [&] {
                              if (!progress.is_none()) progress(time.load());
                          });
    return run;
}

}  // namespace

engine::Options run_options(const Model& model, std::optional<double> relative_tolerance,
                            bool resolve_friction) {
    engine::Options options;
    options.resolve_friction = resolve_friction;
    const auto tolerance = relative_tolerance ? relative_tolerance : model.relative_tolerance;
    if (tolerance) options.relative_tolerance = *tolerance;
    if (model.refinement) options.refinement = *model.refinement;
    return options;
}

void expose_predict(py::module_& module) {
    using Number = std::optional<double>;
    module.def(
        "predict",
        [](const Model& model, const Number& relative_tolerance, std::size_t history_points,
           const std::string& method, bool resolve_friction, const Number& refinement, bool vary,
           bool remedies, const py::object& progress) {
            engine::Options options = run_options(model, relative_tolerance, resolve_friction);
            options.method = method_named(method);
            if (refinement) options.refinement = require_given(*refinement);
            return predict(model, history_points, std::move(options), {vary, remedies}, progress);
        },
        py::arg("plant"), py::kw_only(), py::arg("relative_tolerance") = py::none(),
        py::arg("history_points") = 721, py::arg("method") = "linearly_implicit",
        py::arg("resolve_friction") = false, py::arg("refinement") = py::none(), py::arg("vary") = false,
        py::arg("remedies") = false, py::arg("progress") = py::none(),
        "A run of a plant; see oxfade.predict.");
}

}  // namespace oxfade::python
