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

constexpr const char* quantity_doc = R"(quantity(text, dimension, air_pressure_pa=101325.0)
--

A number with its unit in SI, read as scenario files read it.

Parameters
----------
text : str
    Such as '28 psig', '1 1/4 in', '98 %'.
dimension : str
    'length' [m], 'volume' [m3], 'time' [s], 'pressure' [Pa abs], 'absolute_pressure' [Pa],
    'pressure_difference' [Pa], 'temperature' [K], 'temperature_difference' [K], 'volume_flow' [m3/s],
    'molar_flow' [mol/s], 'power' [W] or 'fraction' [1].
air_pressure_pa : float
    What gauge pressures count from [Pa].

Volumes of gas that name their conditions (Nm3, Sm3, slpm) become volumes at 20 degC and 1 atm.

Returns
-------
float

Raises
------
InputError
    When the text is not such a quantity: it says what it is instead.

Source
------
Units of UDUNITS-2, and those of the trade.
)";

constexpr const char* pipe_bore_doc = R"(pipe_bore_m(nominal, schedule)
--

Inside diameter of a steel pipe [m].

Parameters
----------
nominal : str
    Nominal size in inches: '4', '1-1/4', '2 in'.
schedule : str
    '5', '10', '30', '40' or 'light'.

Returns
-------
float

Raises
------
InputError
    For a pair that the table does not have: it lists those there are.

Source
------
ASME B36.10M; 'light' is the lighter 8 and 10 in wall of sprinkler work.
)";

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
               py::arg("air_pressure_pa") = gas::standard_pressure, quantity_doc);
    module.def("pipe_bore_m", &pipe_bore, py::arg("nominal"), py::arg("schedule"), pipe_bore_doc);
}

}  // namespace oxfade::python
