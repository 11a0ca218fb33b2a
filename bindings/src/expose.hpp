#pragma once

#include <pybind11/pybind11.h>

/// One function for each concept: puts its classes and functions into the module.
namespace oxfade::python {

void expose_errors(pybind11::module_& module);
void expose_quantity(pybind11::module_& module);
void expose_site(pybind11::module_& module);
void expose_source(pybind11::module_& module);
void expose_riser(pybind11::module_& module);
void expose_plant(pybind11::module_& module);
void expose_message(pybind11::module_& module);
void expose_duty(pybind11::module_& module);
void expose_run(pybind11::module_& module);
void expose_history(pybind11::module_& module);
void expose_predict(pybind11::module_& module);
void expose_ensemble(pybind11::module_& module);
void expose_studies(pybind11::module_& module);
void expose_sweep(pybind11::module_& module);

}  // namespace oxfade::python
