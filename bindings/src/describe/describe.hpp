#pragma once

#include <optional>
#include <type_traits>

/// What a Python user may set of each plain struct, said once: the constructors, attributes, docstrings and
/// the dotted paths of ensembles all follow from it.
///
/// `describe(Kind<T>{}, visit)` calls `visit(name, access, doc, need)` for every attribute. `access` takes a
/// T, const or not, and gives a reference. Names carry the unit, docstrings say it: `[Pa]`.
namespace oxfade::python {

template <class T>
struct Kind {};

/// A pitch under the word for it: 'level', 'vertical' or 'drop'. Giving None leaves the pitch as it is.
template <class Pitch>
struct PositionOf {
    Pitch& pitch;
    PositionOf& operator=(const std::optional<double>& value) {
        if (value) pitch = value;
        return *this;
    }
};
template <class Pitch>
PositionOf(Pitch&) -> PositionOf<Pitch>;

/// Whether a constructor insists on an attribute.
enum class Need { required, optional };

/// The type of what `access` refers to.
template <class T, class Access>
using Accessed = std::remove_cvref_t<std::invoke_result_t<Access, T&>>;

}  // namespace oxfade::python
