#pragma once

#include <pybind11/pybind11.h>
#include <pybind11/stl.h>

#include <array>
#include <functional>
#include <optional>
#include <string>
#include <type_traits>
#include <utility>
#include <vector>

#include "describe/describe.hpp"
#include "oxfade/error.hpp"
#include "oxfade/plant/plant.hpp"

namespace oxfade::python {

namespace py = pybind11;

/// An InputError about one attribute: what is wrong with the value given, and what is wanted.
InputError attribute_error(const std::string& key, py::handle value, std::string what, std::string allowed);

/// Kinds of values that may be given as a text with a unit.
template <class T>
inline constexpr bool takes_unit_texts =
    std::is_same_v<T, double> || std::is_same_v<T, std::optional<double>> ||
    std::is_same_v<T, plant::Temperature> || std::is_same_v<T, std::optional<plant::Temperature>>;

/// A text with a unit as a number in SI, by what the attribute's name ends in; any other value as it is.
/// Throws InputError for a text that is no such quantity, and for a gauge pressure: an attribute by itself
/// does not know the air pressure at the site.
py::object in_si(const std::string& attribute, py::handle value);

/// A text as Python's repr has it.
inline std::string quoted(const std::string& text) { return py::cast<std::string>(py::repr(py::str(text))); }

/// A default as it stands in a signature: the value where it is a plain one, `...` elsewhere.
std::string default_text(const std::function<py::object()>& get);

/// Number, text or choice <-> Python. `to_python` gives what an attribute reads as; `from_python` throws
/// py::cast_error for a value of another kind; `wanted` says in words what it takes.
template <class T>
struct Convert {
    static py::object to_python(const T& value) { return py::cast(value); }
    static T from_python(py::handle value) { return py::cast<T>(value); }
    static std::string wanted() { return "another kind of value is wanted, see help() of the class"; }
};

template <>
struct Convert<double> {
    static py::object to_python(double value) { return py::float_(value); }
    static double from_python(py::handle value);
    static std::string wanted() { return "a number is wanted"; }
};

template <>
struct Convert<bool> {
    static py::object to_python(bool value) { return py::bool_(value); }
    static bool from_python(py::handle value);
    static std::string wanted() { return "True or False is wanted"; }
};

template <>
struct Convert<int> {
    static py::object to_python(int value) { return py::int_(value); }
    static int from_python(py::handle value);
    static std::string wanted() { return "a whole number is wanted"; }
};

template <>
struct Convert<std::string> {
    static py::object to_python(const std::string& value) { return py::str(value); }
    static std::string from_python(py::handle value) { return py::cast<std::string>(value); }
    static std::string wanted() { return "a text is wanted"; }
};

template <>
struct Convert<plant::InitialGas> {
    static py::object to_python(plant::InitialGas value);
    static plant::InitialGas from_python(py::handle value);
    static std::string wanted() { return "'air' or 'source' is wanted"; }
};

template <>
struct Convert<plant::TargetAt> {
    static py::object to_python(plant::TargetAt value);
    static plant::TargetAt from_python(py::handle value);
    static std::string wanted() { return "expected 'everywhere', 'average' or 'readings'"; }
};

template <>
struct Convert<plant::LeakSpread> {
    static py::object to_python(plant::LeakSpread value);
    static plant::LeakSpread from_python(py::handle value);
    static std::string wanted() { return "expected 'volume', 'length' or 'joints'"; }
};

/// The word for a pitch, None where there is none.
py::object position_word(const std::optional<double>& pitch);
std::optional<double> pitch_of_position(py::handle word);

template <class Pitch>
struct Convert<PositionOf<Pitch>> {
    template <class Any>
    static py::object to_python(const PositionOf<Any>& value) {
        return position_word(value.pitch);
    }
    static std::optional<double> from_python(py::handle value) { return pitch_of_position(value); }
    static std::string wanted() { return "expected 'level', 'vertical', 'drop' or None"; }
};

/// Two numbers read as a tuple.
template <>
struct Convert<std::array<double, 2>> {
    static py::object to_python(const std::array<double, 2>& value) {
        return py::make_tuple(value[0], value[1]);
    }
    static std::array<double, 2> from_python(py::handle value);
    static std::string wanted() { return "expected two numbers"; }
};

/// A steady temperature is a number.
template <>
struct Convert<plant::Temperature> {
    static py::object to_python(const plant::Temperature& value) { return py::cast(value.course); }
    static plant::Temperature from_python(py::handle value);
    static std::string wanted() { return "a number, a DailySwing or a TemperatureTable is wanted"; }
};

template <>
struct Convert<plant::Deed> {
    static py::object to_python(plant::Deed value) { return py::str(std::string(plant::to_string(value))); }
    static plant::Deed from_python(py::handle value);
    static std::string wanted() {
        return "'drain', 'trip', 'outage', 'restore', 'shut', 'open' or 'set' is wanted";
    }
};

template <class T>
struct Convert<std::optional<T>> {
    static py::object to_python(const std::optional<T>& value) {
        return value ? Convert<T>::to_python(*value) : py::none();
    }
    static std::optional<T> from_python(py::handle value) {
        if (value.is_none()) return std::nullopt;
        return Convert<T>::from_python(value);
    }
    static std::string wanted() { return Convert<T>::wanted() + ", or None"; }
};

/// Lists read as tuples: what is got from them cannot be mistaken for the plant's own list.
template <class T>
struct Convert<std::vector<T>> {
    static py::object to_python(const std::vector<T>& values) {
        py::tuple list(values.size());
        for (std::size_t i = 0; i < values.size(); ++i) list[i] = Convert<T>::to_python(values[i]);
        return list;
    }
    static std::vector<T> from_python(py::handle value) {
        if (py::isinstance<py::str>(value) || !py::isinstance<py::iterable>(value)) throw py::cast_error();
        std::vector<T> values;
        for (const py::handle& item : value) values.push_back(Convert<T>::from_python(item));
        return values;
    }
    static std::string wanted() { return "a list of such objects is wanted, see help() of the class"; }
};

}  // namespace oxfade::python
