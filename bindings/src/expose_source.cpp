#include "describe/source.hpp"
#include "expose.hpp"
#include "record.hpp"

namespace oxfade::python {

void expose_source(py::module_& module) {
    bind_record<plant::Receiver>(module, "Receiver",
                                 "A tank at site temperature between machine and risers.");
    bind_record<plant::Generator>(
        module, "Generator",
        "Compressor with nitrogen separator and receiver; falls back on plain air when the receiver is low.");
    bind_record<plant::Cylinders>(module, "Cylinders",
                                  "A finite amount of gas of known purity behind a regulator.");
    bind_record<plant::Compressor>(module, "Compressor", "A compressor with receiver: plain air.");
}

}  // namespace oxfade::python
