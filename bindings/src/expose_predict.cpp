#include <optional>
#include <string>

#include "convert.hpp"
#include "expose.hpp"
#include "interruptible.hpp"
#include "model.hpp"
#include "oxfade/engine/predict.hpp"
#include "run_options.hpp"

namespace oxfade::python {
namespace {

engine::Method method_named(const std::string& name) {
    if (name == "linearly_implicit") return engine::Method::linearly_implicit;
    if (name == "dormand_prince") return engine::Method::dormand_prince;
    throw InputError({Problem{
        "method", name, "there is no such method", "'linearly_implicit' or 'dormand_prince'", {}, 0}});
}

std::shared_ptr<Run> predict(const Model& model, std::optional<double> relative_tolerance,
                             std::size_t history_points, const std::string& method, bool resolve_friction,
                             const py::object& progress) {
    engine::Options options = run_options(model, relative_tolerance, resolve_friction);
    options.history_points = history_points;
    options.method = method_named(method);
    std::atomic<bool> stop{false};
    std::atomic<double> time{0.0};
    options.progress = [&](double now) {
        time.store(now);
        return !stop.load();
    };
    auto run = std::make_shared<Run>(Run{model, {}});
    run->outcome = run_interruptibly([&] { return engine::predict(run->model.plant, options); }, stop,
                                     [&] {
                                         if (!progress.is_none()) progress(time.load());
                                     });
    return run;
}

constexpr const char* predict_doc =
    R"(predict(plant, *, relative_tolerance=None, history_points=721, method='linearly_implicit',
        resolve_friction=False, progress=None)
--

Simulate a plant from the opening of the first fill valve to the end of its duration.

Other Python threads run meanwhile, and Ctrl-C stops it with KeyboardInterrupt.

Parameters
----------
plant : Plant
relative_tolerance : float, optional
    Local error per step [1], 1e-12 to 1e-2; the plant's own, else 1e-6.
history_points : int
    Rows of the history [count], evenly spaced in time: 0 or 2 to 1 000 000.
method : str
    'linearly_implicit' (Rosenbrock order 3(2)) or 'dormand_prince' (explicit 5(4), to check the other).
resolve_friction : bool
    A pressure in every compartment with pipe friction between them, in place of one pressure a riser; needs
    bore and length of every pipe, and is slower. The program's --friction.
progress : callable, optional
    Called about 20 times a second with the simulated time [s]; what it raises stops the run.

Returns
-------
Run

Raises
------
InputError
    For options out of range.
ComputationError
    When the computation fails: it says when and where.

Source
------
model.md sections 3 to 7: well-mixed compartments, isentropic nozzle flow through orifices (eq. 12), mixing
along pipes (eq. 8 to 11), friction (eq. 13).
)";

}  // namespace

engine::Options run_options(const Model& model, std::optional<double> relative_tolerance,
                            bool resolve_friction) {
    engine::Options options;
    options.resolve_friction = resolve_friction;
    const auto tolerance = relative_tolerance ? relative_tolerance : model.relative_tolerance;
    if (tolerance) options.relative_tolerance = *tolerance;
    return options;
}

void expose_predict(py::module_& module) {
    module.def("predict", &predict, py::arg("plant"), py::kw_only(),
               py::arg("relative_tolerance") = py::none(), py::arg("history_points") = 721,
               py::arg("method") = "linearly_implicit", py::arg("resolve_friction") = false,
               py::arg("progress") = py::none(), predict_doc);
}

}  // namespace oxfade::python
