#include "expose.hpp"

#include <array>
#include <string>
#include <utility>

#include "convert.hpp"
#include "model.hpp"
#include "oxfade/plant/pipe_sizes.hpp"
#include "oxfade/scenario/quantity.hpp"
#include "oxfade/study/parameter.hpp"
#include "text/nearest.hpp"

namespace oxfade::python {
namespace {

using scenario::Dimension;

constexpr std::array<std::pair<const char*, Dimension>, 13> dimensions{{
    {"length", Dimension::length},
    {"volume", Dimension::volume},
    {"time", Dimension::time},
    {"pressure", Dimension::pressure},
    {"absolute_pressure", Dimension::absolute_pressure},
    {"pressure_difference", Dimension::pressure_difference},
    {"temperature", Dimension::temperature},
    {"temperature_difference", Dimension::temperature_difference},
    {"volume_flow", Dimension::volume_flow},
    {"molar_flow", Dimension::molar_flow},
    {"power", Dimension::power},
    {"fraction", Dimension::fraction},
    {"slope", Dimension::slope},
}};

double quantity(const std::string& text, const std::string& dimension, double air_pressure) {
    std::vector<std::string> known;
    for (const auto& [name, value] : dimensions) {
        if (dimension == name) return scenario::quantity(text, value, air_pressure);
        known.emplace_back(name);
    }
    throw InputError({Problem{"dimension",
                              dimension,
                              "there is no such dimension",
                              text::suggest(dimension, known, "there are"),
                              {},
                              0}});
}

double pipe_bore(const std::string& nominal, const std::string& schedule) {
    if (const auto size = plant::find_pipe_size(nominal, schedule)) return size->bore();
    const auto schedules = plant::schedules_of(nominal);
    if (!schedules.empty()) {
        throw InputError({Problem{"schedule",
                                  schedule,
                                  "there is no such schedule of nominal " + nominal,
                                  text::suggest(schedule, schedules, "there are"),
                                  {},
                                  0}});
    }
    throw InputError({Problem{"nominal",
                              nominal,
                              "is not a nominal pipe size known here",
                              "in inches, for example 4 or 1-1/4",
                              {},
                              0}});
}

}  // namespace

void expose_quantity(py::module_& module) {
    module.def(
        "_dimension",
        [](const Model& model, const std::string& key) -> std::optional<std::string> {
            const auto wanted = study::Parameter(model.plant, key).dimension();
            for (const auto& [name, dimension] : dimensions) {
                if (wanted == dimension) return name;
            }
            return std::nullopt;
        },
        "What kind of quantity a key of the scenario file holds; None for a plain number.");
    module.def("quantity", &quantity, py::arg("text"), py::arg("dimension"),
               py::arg("air_pressure_pa") = gas::standard_pressure,
               "A text with its unit in SI; see oxfade.quantity.");
    module.def("pipe_bore_m", &pipe_bore, py::arg("nominal"), py::arg("schedule"),
               "Inside diameter of a pipe; see oxfade.pipe_bore_m.");
}

}  // namespace oxfade::python
