#include "convert.hpp"

#include <array>
#include <cmath>
#include <utility>
#include <variant>

#include "oxfade/scenario/quantity.hpp"

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

template <class Choice>
using Words = std::array<std::pair<const char*, Choice>, 3>;

constexpr Words<plant::TargetAt> target_words{{{"everywhere", plant::TargetAt::everywhere},
                                               {"average", plant::TargetAt::average},
                                               {"readings", plant::TargetAt::readings}}};
constexpr Words<plant::LeakSpread> spread_words{{{"volume", plant::LeakSpread::volume},
                                                 {"length", plant::LeakSpread::length},
                                                 {"joints", plant::LeakSpread::joints}}};
constexpr Words<double> position_words{{{"level", 0.0}, {"vertical", 1.0}, {"drop", -1.0}}};

template <class Choice>
py::object to_word(Choice value, const Words<Choice>& words) {
    for (const auto& [word, choice] : words) {
        if (choice == value) return py::str(word);
    }
    return py::none();
}

template <class Choice>
Choice from_word(py::handle value, const Words<Choice>& words) {
    const auto given = py::cast<std::string>(value);
    for (const auto& [word, choice] : words) {
        if (given == word) return choice;
    }
    throw py::cast_error();
}

using scenario::Dimension;

/// What kinds of quantities attributes hold, by the ends of their names, longest first.
constexpr std::array<std::pair<const char*, Dimension>, 13> dimensions_by_end{{
    {".loss_pa", Dimension::pressure_difference},
    {".swing_k", Dimension::temperature_difference},
    {".warm_end_k", Dimension::temperature_difference},
    {"_m3_per_s", Dimension::volume_flow},
    {"_mol_per_s", Dimension::molar_flow},
    {"_pa", Dimension::pressure},
    {"_m3", Dimension::volume},
    {"_m", Dimension::length},
    {"_s", Dimension::time},
    {"_k", Dimension::temperature},
    {"_w", Dimension::power},
    {".pitch", Dimension::slope},
    {"", Dimension::fraction},
}};

Dimension dimension_of(const std::string& attribute) {
    for (const auto& [end, dimension] : dimensions_by_end) {
        if (attribute.ends_with(end)) return dimension;
    }
    return Dimension::fraction;
}

InputError not_such_quantity(const std::string& attribute, const std::string& text, std::string what,
                             std::string allowed) {
    return InputError({Problem{attribute, text, std::move(what), std::move(allowed), {}, 0}});
}

bool is_bool(py::handle value) {
    return PyBool_Check(value.ptr()) != 0 || std::string_view(Py_TYPE(value.ptr())->tp_name) == "numpy.bool_";
}

}  // namespace

InputError attribute_error(const std::string& key, py::handle value, std::string what, std::string allowed) {
    return InputError(
        {Problem{key, py::cast<std::string>(py::repr(value)), std::move(what), std::move(allowed), {}, 0}});
}

py::object in_si(const std::string& attribute, py::handle value) {
    if (!py::isinstance<py::str>(value)) return py::reinterpret_borrow<py::object>(value);
    const auto text = py::cast<std::string>(value);
    const Dimension dimension = dimension_of(attribute);
    const auto parsed = scenario::parse_quantity(text, dimension, gas::standard_pressure);
    if (const auto* wrong = std::get_if<scenario::QuantityError>(&parsed))
        throw not_such_quantity(attribute, text, wrong->what, wrong->allowed);
    const double number = std::get<scenario::Quantity>(parsed).value;
    if (dimension == Dimension::pressure && number != scenario::quantity(text, dimension, 0.0)) {
        throw not_such_quantity(attribute, text, "a gauge pressure counts from the air pressure at the site",
                                "write psia, or quantity(text, 'pressure', air_pressure_pa=...)");
    }
    return py::float_(number);
}

std::string default_text(const std::function<py::object()>& get) {
    try {
        const py::object value = get();
        const bool empty = py::isinstance<py::tuple>(value) && py::len(value) == 0;
        const bool plain = value.is_none() || is_bool(value) || py::isinstance<py::int_>(value) ||
                           py::isinstance<py::str>(value) || empty;
        const bool finite = py::isinstance<py::float_>(value) && std::isfinite(py::cast<double>(value));
        if (plain || finite) return py::cast<std::string>(py::repr(value));
    } catch (const py::error_already_set&) {  // a class that is not known yet
    } catch (const py::cast_error&) {
    }
    return "...";
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

py::object Convert<plant::TargetAt>::to_python(plant::TargetAt value) { return to_word(value, target_words); }
plant::TargetAt Convert<plant::TargetAt>::from_python(py::handle value) {
    return from_word(value, target_words);
}

py::object Convert<plant::LeakSpread>::to_python(plant::LeakSpread value) {
    return to_word(value, spread_words);
}
plant::LeakSpread Convert<plant::LeakSpread>::from_python(py::handle value) {
    return from_word(value, spread_words);
}

py::object position_word(const std::optional<double>& pitch) {
    for (const auto& [word, value] : position_words) {
        if (pitch == value) return py::str(word);
    }
    return py::none();
}
std::optional<double> pitch_of_position(py::handle word) {
    if (word.is_none()) return std::nullopt;
    return from_word(word, position_words);
}

std::array<double, 2> Convert<std::array<double, 2>>::from_python(py::handle value) {
    const auto values = Convert<std::vector<double>>::from_python(value);
    if (values.size() != 2) throw py::cast_error();
    return {values[0], values[1]};
}

}  // namespace oxfade::python
