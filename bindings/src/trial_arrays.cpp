#include "trial_arrays.hpp"

#include <pybind11/numpy.h>

#include <cmath>
#include <limits>

namespace oxfade::python {

namespace py = pybind11;

namespace {

using engine::RiserHeadline;
using engine::Trial;

constexpr double unknown = std::numeric_limits<double>::quiet_NaN();

template <class Get>
py::array_t<double> of_runs(const std::vector<Trial>& trials, Get get) {
    py::array_t<double> array(static_cast<py::ssize_t>(trials.size()));
    double* out = array.mutable_data();
    for (const Trial& trial : trials) *out++ = trial.done() ? static_cast<double>(get(trial)) : unknown;
    return array;
}

template <class Get>
py::array_t<double> of_risers(const std::vector<Trial>& trials, std::size_t risers, Get get) {
    py::array_t<double> array({trials.size(), risers});
    double* out = array.mutable_data();
    for (const Trial& trial : trials) {
        for (std::size_t r = 0; r < risers; ++r) {
            *out++ = trial.done() && r < trial.risers.size() ? get(trial.risers[r]) : unknown;
        }
    }
    return array;
}

}  // namespace

py::dict trial_arrays(const std::vector<Trial>& trials, std::size_t risers) {
    py::dict arrays;
    const auto run = [&](const char* name, auto get) { arrays[name] = of_runs(trials, get); };
    run("time_to_target_s", [](const Trial& t) { return t.time_to_target; });
    run("running_s", [](const Trial& t) { return t.running; });
    run("air_s", [](const Trial& t) { return t.on_air; });
    run("air_after_fill_s", [](const Trial& t) { return t.air_after_fill; });
    run("nitrogen_mol", [](const Trial& t) { return t.made_nitrogen; });
    run("air_mol", [](const Trial& t) { return t.made_air; });
    run("starts", [](const Trial& t) { return t.starts; });
    run("balance_worst_relative", [](const Trial& t) { return t.balance; });
    const auto riser = [&](const char* name, auto get) { arrays[name] = of_risers(trials, risers, get); };
    riser("riser_fill_time_s", [](const RiserHeadline& h) { return h.fill_time; });
    riser("riser_time_to_target_s", [](const RiserHeadline& h) { return h.time_to_target; });
    riser("riser_worst_oxygen", [](const RiserHeadline& h) { return h.worst_oxygen; });
    riser("riser_final_pressure_pa", [](const RiserHeadline& h) { return h.final_pressure; });
    riser("riser_vented_mol", [](const RiserHeadline& h) { return h.vented; });
    riser("riser_leaked_mol", [](const RiserHeadline& h) { return h.leaked; });
    riser("riser_fill_met", [](const RiserHeadline& h) { return h.fill_met ? 1.0 : 0.0; });
    py::list errors;
    for (const Trial& trial : trials) errors.append(trial.error);
    arrays["error"] = errors;
    return arrays;
}

}  // namespace oxfade::python
