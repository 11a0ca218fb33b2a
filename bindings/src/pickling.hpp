#pragma once

#include <pybind11/pybind11.h>

#include <utility>

namespace oxfade::python {

namespace py = pybind11;

/// Copying and pickling with any protocol: `state` gives an object's state, `make` an object of a state. The
/// way of py::pickle, an empty object that is filled later, would leave objects about that hold nothing.
template <class Class, class State, class Make>
void add_pickling(Class& cls, State state, Make make) {
    cls.def_static("_restored", std::move(make));
    cls.def("__reduce__", [state = std::move(state)](const typename Class::type& self) {
        const py::object restored = py::module_::import("oxfade._pickling").attr("restored");
        const py::handle type = py::type::of<typename Class::type>();
        return py::make_tuple(restored, py::make_tuple(type, state(self)));
    });
}

/// Lets objects be made by calling a class and in no other way: `__new__` by itself would leave one that
/// holds nothing, and whose attributes are read from memory that was never written.
void forbid_empty_objects(const py::module_& module);

}  // namespace oxfade::python
