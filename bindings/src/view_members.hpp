#pragma once

#include <optional>
#include <string>
#include <type_traits>
#include <vector>

#include "convert.hpp"
#include "oxfade/plant/plant.hpp"
#include "run_views.hpp"

/// How the views of a run show their members.
namespace oxfade::python {

inline double standard_m3(const Run& run, double moles) {
    return plant::standard_volume(run.model.plant.site.reference, moles);
}

inline std::vector<std::string> names_of(const auto& list) {
    std::vector<std::string> names;
    for (const auto& entry : list) names.push_back(entry.name);
    return names;
}

inline std::size_t index_of(const std::vector<std::string>& names, const std::string& kind,
                            const std::string& name) {
    std::optional<std::size_t> index;
    for (std::size_t i = 0; i < names.size(); ++i) {
        if (names[i] == name) index = i;
    }
    return require_named(index, kind, name, names);
}

/// `getattr(owner, method)(name)`: how a part is found again after its run was pickled.
inline py::tuple reduce_to(const py::object& owner, const char* method, const std::string& name) {
    return py::make_tuple(owner.attr(method), py::make_tuple(name));
}

/// tuple of the views of so many parts of the same owner: `View{owner..., i}`.
template <class View, class... Owner>
py::tuple views_of(std::size_t count, const Owner&... owner) {
    py::tuple list(count);
    for (std::size_t i = 0; i < count; ++i) list[i] = py::cast(View{owner..., i});
    return list;
}

/// A property that reads a member of what the view points to.
template <class View, class Class, class Member>
void add(Class& cls, const char* name, Member member, const char* doc) {
    cls.def_property_readonly(
        name, [member](const View& v) { return (*v).*member; }, doc);
}
/// The same for an amount of gas, as standard volume.
template <class View, class Class>
void add_volume(Class& cls, const char* name, double std::remove_cvref_t<decltype(*View{})>::*member,
                const char* doc) {
    cls.def_property_readonly(
        name, [member](const View& v) { return standard_m3(*v.run, (*v).*member); }, doc);
}

}  // namespace oxfade::python
