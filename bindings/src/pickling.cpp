#include "pickling.hpp"

namespace oxfade::python {
namespace {

newfunc original_new = nullptr;

/// Does what pybind11 does. That it is another function than that of the base class is what makes Python
/// refuse `Class.__new__(Class)`, while `Class(...)` still comes here.
PyObject* new_by_call(PyTypeObject* type, PyObject* arguments, PyObject* keywords) {
    return original_new(type, arguments, keywords);
}

}  // namespace

void forbid_empty_objects(const py::module_& module) {
    for (const auto& [name, value] : py::reinterpret_borrow<py::dict>(module.attr("__dict__"))) {
        if (PyType_Check(value.ptr()) == 0) continue;
        auto* type = reinterpret_cast<PyTypeObject*>(value.ptr());
        original_new = type->tp_new;
        type->tp_new = &new_by_call;
        PyType_Modified(type);
    }
}

}  // namespace oxfade::python
