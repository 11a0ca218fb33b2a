#pragma once

#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "convert.hpp"
#include "describe/describe.hpp"
#include "pickling.hpp"

namespace oxfade::python {

/// One attribute of a record class.
template <class T>
struct Attribute {
    std::string name;
    Need need = Need::optional;
    std::function<py::object(const T&)> get;
    std::function<void(T&, py::handle)> set;
};

/// The attributes of a class, and what follows from them: construction by keywords, changed copies, state.
template <class T>
class Attributes {
  public:
    explicit Attributes(std::string class_name) : class_name_(std::move(class_name)) {}

    const std::string& class_name() const { return class_name_; }

    template <class Access>
    const Attribute<T>& add(const char* name, Access access, Need need) {
        using Value = Accessed<T, Access>;
        const std::string key = class_name_ + '.' + name;
        list_.push_back(
            {name, need, [access](const T& t) { return Convert<Value>::to_python(access(t)); },
             [access, key](T& t, py::handle given) {
                 const py::object value =
                     takes_unit_texts<Value> ? in_si(key, given) : py::reinterpret_borrow<py::object>(given);
                 try {
                     access(t) = Convert<Value>::from_python(value);
                 } catch (const py::cast_error&) {
                     throw attribute_error(key, value, "is of the wrong kind", Convert<Value>::wanted());
                 }
             }});
        return list_.back();
    }

    /// Sets every attribute given; all that is wrong is thrown at once.
    void assign(T& t, const py::dict& given) const {
        std::vector<Problem> problems;
        for (const auto& [key, value] : given) {
            try {
                find(py::cast<std::string>(key), value).set(t, value);
            } catch (const InputError& error) {
                problems.insert(problems.end(), error.problems().begin(), error.problems().end());
            }
        }
        if (!problems.empty()) throw InputError(std::move(problems));
    }

    T make(const py::dict& given) const {
        T t;
        assign(t, given);
        std::vector<Problem> problems;
        for (const Attribute<T>& a : list_) {
            if (a.need == Need::required && !given.contains(a.name.c_str()))
                problems.push_back(
                    {class_name_ + '.' + a.name, {}, "is missing", "it has no default", {}, 0});
        }
        if (!problems.empty()) throw InputError(std::move(problems));
        return t;
    }

    py::dict state(const T& t) const {
        py::dict state;
        for (const Attribute<T>& a : list_) state[a.name.c_str()] = a.get(t);
        return state;
    }

    /// A docstring of the constructor, from whose first line inspect.signature reads how an object is made.
    std::string signature() const {
        const T fresh{};
        std::string keywords;
        for (const Attribute<T>& a : list_) {
            keywords += ", " + a.name;
            if (a.need == Need::optional) keywords += '=' + default_text([&] { return a.get(fresh); });
        }
        return "__init__(self" + (keywords.empty() ? "" : ", *" + keywords) + ")\n--\n\nMakes one.";
    }

    std::string repr(const T& t) const {
        std::string text;
        for (const Attribute<T>& a : list_) {
            text += (text.empty() ? "" : ", ") + a.name + '=' + py::cast<std::string>(py::repr(a.get(t)));
        }
        return class_name_ + '(' + text + ')';
    }

  private:
    const Attribute<T>& find(const std::string& name, py::handle value) const {
        std::string known;
        for (const Attribute<T>& a : list_) {
            if (a.name == name) return a;
            known += (known.empty() ? "there are: " : ", ") + a.name;
        }
        throw attribute_error(class_name_ + '.' + name, value, "there is no such attribute", known);
    }

    std::string class_name_;
    std::vector<Attribute<T>> list_;
};

inline constexpr const char* with_doc =
    "with_(self, **attributes)\n--\n\nA copy with other values.\n\nParameters\n----------\n**attributes\n"
    "    New values by attribute name.\n\nReturns\n-------\nAn object of the same class.\n\nRaises\n------\n"
    "InputError\n    For an unknown attribute or a value of the wrong kind.\n";

/// Binds a described struct as a class whose objects never change: construction by keywords only, so that a
/// unit stands beside every number; `with_` for changed copies; comparison, repr, copying and pickling.
template <class T>
py::class_<T> bind_record(py::module_& module, const char* name, const char* doc) {
    auto attributes = std::make_shared<Attributes<T>>(name);
    py::class_<T> cls(module, name, doc);
    describe(Kind<T>{}, [&](const char* attribute, auto access, const char* text, Need need) {
        cls.def_property_readonly(attribute, attributes->add(attribute, access, need).get, text);
    });
    cls.def(py::init([attributes](const py::kwargs& given) { return attributes->make(given); }),
            attributes->signature().c_str());
    cls.def(
        "with_",
        [attributes](const T& self, const py::kwargs& changes) {
            T copy = self;
            attributes->assign(copy, changes);
            return copy;
        },
        with_doc);
    cls.def("__repr__", [attributes](const T& self) { return attributes->repr(self); });
    cls.def(
        "__eq__",
        [attributes](const T& self, const T& other) {
            return attributes->state(self).equal(attributes->state(other));
        },
        py::is_operator());
    add_pickling(
        cls, [attributes](const T& self) { return attributes->state(self); },
        [attributes](const py::dict& state) { return attributes->make(state); });
    return cls;
}

}  // namespace oxfade::python
