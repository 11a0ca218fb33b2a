#include <pybind11/numpy.h>

#include <algorithm>
#include <utility>

#include "convert.hpp"
#include "expose.hpp"
#include "interruptible.hpp"
#include "model.hpp"
#include "numbers.hpp"
#include "oxfade/engine/ensemble.hpp"
#include "run_options.hpp"
#include "trial_arrays.hpp"

namespace oxfade::python {
namespace {

using Column = py::array_t<double, py::array::c_style | py::array::forcecast>;

/// What is varied: numbers by attribute path, texts by the scenario file's key, one value for each run.
struct Variation {
    std::vector<std::pair<NumberPath, std::vector<double>>> numbers;
    std::vector<std::pair<std::string, std::vector<std::string>>> texts;

    plant::Plant plant(const Model& base, std::size_t k) const {
        plant::Plant plant = texts.empty() ? base.plant : reread(base, k).plant;
        for (const auto& [path, values] : numbers) set_number(plant, path, values[k]);
        return plant;
    }

  private:
    Model reread(const Model& base, std::size_t k) const {
        Origin origin = *base.origin;
        for (const auto& [key, values] : texts) origin.overrides.push_back({key, values[k]});
        return read_model(std::make_shared<const Origin>(std::move(origin)));
    }
};

/// Runs with plants made by `plant_at`; see run_interruptibly.
py::dict run_many(std::size_t count, const std::function<plant::Plant(std::size_t)>& plant_at,
                  std::size_t risers, engine::EnsembleOptions options, const py::object& progress) {
    std::atomic<bool> stop{false};
    std::atomic<std::size_t> done{0};
    options.progress = [&](std::size_t finished) {
        done.store(finished);
        return !stop.load();
    };
    const auto next_plant = [&](std::size_t k) {
        if (stop.load()) throw Error("stopped on request");
        return plant_at(k);
    };
    const auto trials =
        run_interruptibly([&] { return engine::predict_many(count, next_plant, options); }, stop,
                          [&] {
                              if (!progress.is_none()) progress(done.load());
                          });
    return trial_arrays(trials, risers);
}

py::dict ensemble(const Model& base, std::size_t count,
                  const std::vector<std::pair<std::string, Column>>& numbers,
                  std::vector<std::pair<std::string, std::vector<std::string>>> texts,
                  std::optional<double> relative_tolerance, bool resolve_friction, unsigned threads,
                  const py::object& progress) {
    Variation variation;
    for (const auto& [key, values] : numbers) {
        variation.numbers.push_back({number_path(key), {values.data(), values.data() + values.size()}});
    }
    variation.texts = std::move(texts);
    if (count > 0) variation.plant(base, 0);  // a path that leads nowhere is an error at once
    const engine::EnsembleOptions options{
        run_options(base, relative_tolerance, resolve_friction), threads, {}};
    return run_many(
        count, [&](std::size_t k) { return variation.plant(base, k); }, base.plant.risers.size(), options,
        progress);
}

py::dict predict_plants(const std::vector<Model>& models, std::optional<double> relative_tolerance,
                        bool resolve_friction, unsigned threads, const py::object& progress) {
    std::size_t risers = 0;
    for (const Model& model : models) risers = std::max(risers, model.plant.risers.size());
    engine::EnsembleOptions options;
    options.threads = threads;
    if (!models.empty()) options.run = run_options(models.front(), relative_tolerance, resolve_friction);
    return run_many(
        models.size(), [&](std::size_t k) { return models[k].plant; }, risers, options, progress);
}

}  // namespace

void expose_ensemble(py::module_& module) {
    module.def("_ensemble", &ensemble,
               "Arrays of headline numbers of runs with varied parameters; see oxfade.ensemble.");
    module.def("_predict_plants", &predict_plants,
               "Arrays of headline numbers of many plants; see oxfade.predict_many.");
}

}  // namespace oxfade::python
