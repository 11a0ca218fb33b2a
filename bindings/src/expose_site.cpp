#include "describe/site.hpp"
#include "expose.hpp"
#include "record.hpp"

namespace oxfade::python {

void expose_site(py::module_& module) {
    bind_record<plant::Reference>(
        module, "Reference",
        "The conditions at which a standard volume is counted; 101.325 kPa and 20 degC by default.");
    bind_record<plant::Site>(module, "Site",
                             "The surroundings of all piping: sea level and 20 degC by default.");
    bind_record<plant::Mixing>(module, "Mixing",
                               "Which kinds of mixing act between compartments; both by default.");
}

}  // namespace oxfade::python
