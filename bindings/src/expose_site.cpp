#include "describe/site.hpp"
#include "expose.hpp"
#include "record.hpp"

namespace oxfade::python {

void expose_site(py::module_& module) {
    bind_record<plant::Reference>(
        module, "Reference",
        "The conditions at which a standard volume is counted; 101.325 kPa and 20 degC by default.");
    bind_record<plant::DailySwing>(module, "DailySwing",
                                   "A temperature that swings as a cosine, warmest once a period.");
    bind_record<plant::TemperatureTable::Knot>(module, "TemperatureKnot", "A temperature at a time.");
    bind_record<plant::TemperatureTable>(
        module, "TemperatureTable",
        "Straight lines between given temperatures, constant before the first and after the last.");
    bind_record<plant::Action>(module, "Action",
                               "A dated event of a run: a low point is drained, a riser trips, and so on.");
    bind_record<plant::Site>(module, "Site",
                             "The surroundings of all piping: sea level and 20 degC by default.");
    bind_record<plant::Mixing>(module, "Mixing",
                               "Which kinds of mixing act between compartments; both by default.");
}

}  // namespace oxfade::python
