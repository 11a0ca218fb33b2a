#include "convert.hpp"

namespace oxfade::python {
namespace {

/// One of two words; anything else is a py::cast_error.
template <class Choice>
Choice one_of(py::handle value, const char* first, Choice first_choice, const char* second,
              Choice second_choice) {
    const auto word = py::cast<std::string>(value);
    if (word == first) return first_choice;
    if (word == second) return second_choice;
    throw py::cast_error();
}

bool is_bool(py::handle value) {
    return PyBool_Check(value.ptr()) != 0 || std::string_view(Py_TYPE(value.ptr())->tp_name) == "numpy.bool_";
}

}  // namespace

InputError attribute_error(const std::string& key, py::handle value, std::string what, std::string allowed) {
    return InputError(
        {Problem{key, py::cast<std::string>(py::repr(value)), std::move(what), std::move(allowed), {}, 0}});
}

double Convert<double>::from_python(py::handle value) {
    const bool number = PyNumber_Check(value.ptr()) != 0 && !is_bool(value);
    const double result = number ? PyFloat_AsDouble(value.ptr()) : 0.0;
    if (!number || PyErr_Occurred() != nullptr) {
        PyErr_Clear();
        throw py::cast_error();
    }
    return result;
}

bool Convert<bool>::from_python(py::handle value) {
    if (!is_bool(value)) throw py::cast_error();
    return PyObject_IsTrue(value.ptr()) == 1;
}

int Convert<int>::from_python(py::handle value) {
    if (is_bool(value)) throw py::cast_error();
    return py::cast<int>(value);
}

py::object Convert<plant::InitialGas>::to_python(plant::InitialGas value) {
    return py::str(value == plant::InitialGas::air ? "air" : "source");
}
plant::InitialGas Convert<plant::InitialGas>::from_python(py::handle value) {
    return one_of(value, "air", plant::InitialGas::air, "source", plant::InitialGas::source);
}

plant::Temperature Convert<plant::Temperature>::from_python(py::handle value) {
    if (py::isinstance<plant::DailySwing>(value)) return py::cast<plant::DailySwing>(value);
    if (py::isinstance<plant::TemperatureTable>(value)) return py::cast<plant::TemperatureTable>(value);
    return Convert<double>::from_python(value);
}

plant::Deed Convert<plant::Deed>::from_python(py::handle value) {
    const auto word = py::cast<std::string>(value);
    for (const auto deed : {plant::Deed::drain, plant::Deed::trip, plant::Deed::outage, plant::Deed::restore,
                            plant::Deed::shut, plant::Deed::open, plant::Deed::set}) {
        if (word == plant::to_string(deed)) return deed;
    }
    throw py::cast_error();
}

py::object Convert<plant::Position>::to_python(plant::Position value) {
    return py::str(value == plant::Position::level ? "level" : "vertical");
}
plant::Position Convert<plant::Position>::from_python(py::handle value) {
    return one_of(value, "level", plant::Position::level, "vertical", plant::Position::vertical);
}

}  // namespace oxfade::python
