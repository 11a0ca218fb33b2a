#include "numbers.hpp"

#include <optional>
#include <type_traits>
#include <utility>
#include <variant>

#include "describe/fittings.hpp"
#include "describe/plant.hpp"
#include "describe/riser.hpp"
#include "describe/site.hpp"
#include "describe/source.hpp"
#include "text/key_path.hpp"
#include "text/nearest.hpp"

namespace oxfade::python {

namespace {

template <class T>
inline constexpr bool is_number = std::is_same_v<T, double> || std::is_same_v<T, std::optional<double>>;
template <class T>
inline constexpr bool is_list = false;
template <class T>
inline constexpr bool is_list<std::vector<T>> = true;
template <class T>
inline constexpr bool is_choice = false;
template <class... T>
inline constexpr bool is_choice<std::variant<T...>> = true;
template <class T, class = void>
inline constexpr bool is_described = false;
template <class T>
inline constexpr bool
    is_described<T, std::void_t<decltype(describe(Kind<T>{}, [](const char*, auto, const char*, Need) {}))>> =
        true;

/// Pipes have their dimensions, and leaks their size, one level further down than the file has.
bool passed_over(const std::string& attribute) { return attribute == "shape" || attribute == "size"; }

template <class T>
std::string name_of(const T& entry) {
    if constexpr (requires { entry.name; }) return entry.name;
    return {};
}

/// Follows a path through the described structs down to a number.
class Search {
  public:
    Search(const NumberPath& path, double value) : path_(path), value_(value) {}

    template <class T>
    bool in(T& object, std::size_t depth) {
        if (depth >= path_.segments.size()) return false;
        return among_attributes(object, depth);
    }
    /// Numbers and parts there are where the path went wrong, and its segment there.
    std::vector<std::string> known;
    std::string unknown;

  private:
    template <class T>
    bool among_attributes(T& object, std::size_t depth) {
        const std::string& wanted = path_.segments[depth];
        bool found = false;
        std::vector<std::string> here;
        describe(Kind<T>{}, [&](const char* name, auto access, const char*, Need) {
            auto&& value = access(object);
            if (!found) found = visit(name, value, wanted, depth, here);
        });
        if (!found && known.empty()) {
            known = std::move(here);
            unknown = wanted;
        }
        return found;
    }

    template <class V>
    bool visit(const std::string& name, V& value, const std::string& wanted, std::size_t depth,
               std::vector<std::string>& here) {
        if constexpr (is_number<V>) {
            here.push_back(name);
            if (name != wanted || depth + 1 != path_.segments.size()) return false;
            value = value_;
            return true;
        } else if constexpr (std::is_same_v<V, plant::Temperature>) {
            return visit(name, value.course, wanted, depth, here);
        } else if constexpr (std::is_same_v<V, std::optional<plant::Temperature>>) {
            if (!value && name == wanted && depth + 1 == path_.segments.size()) value = value_;
            if (value) return visit(name, value->course, wanted, depth, here);
            here.push_back(name);
        } else if constexpr (is_list<V>) {
            const std::string singular = name.substr(0, name.size() - 1);
            here.push_back(singular);
            return (wanted == singular || wanted == name) && in_list(value, depth + 1);
        } else if constexpr (is_described<V> || is_choice<V>) {
            if (passed_over(name)) return in_part(value, depth);
            here.push_back(name);
            return wanted == name && in_part(value, depth + 1);
        }
        return false;
    }

    template <class V>
    bool in_part(V& part, std::size_t depth) {
        if constexpr (is_choice<V>) {
            return std::visit([&](auto& choice) { return in_choice(choice, depth); }, part);
        } else {
            return in(part, depth);
        }
    }

    template <class V>
    bool in_choice(V& choice, std::size_t depth) {
        if constexpr (is_number<V>) {  // the path ends here
            if (depth != path_.segments.size()) return false;
            choice = value_;
            return true;
        } else {
            return in(choice, depth);
        }
    }

    template <class T>
    bool in_list(std::vector<T>& list, std::size_t depth) {
        if (depth >= path_.segments.size()) return false;
        std::vector<std::string> names;
        for (const T& entry : list) names.push_back(name_of(entry));
        const auto labels = text::entry_segments(names);
        for (std::size_t i = 0; i < list.size(); ++i) {
            const std::string& wanted = path_.segments[depth];
            if (labels[i] == wanted || std::to_string(i) == wanted) return in(list[i], depth + 1);
        }
        known = labels;
        unknown = path_.segments[depth];
        return false;
    }

    const NumberPath& path_;
    double value_;
};

}  // namespace

NumberPath number_path(const std::string& text) {
    auto segments = text::split_path(text);
    if (!segments) {
        throw InputError({Problem{
            text, {}, "is not a dotted path", "for example riser.North.vent.'end vent'.diameter_m", {}, 0}});
    }
    return {text, std::move(*segments)};
}

void set_number(plant::Plant& plant, const NumberPath& path, double value) {
    Search search(path, value);
    if (search.in(plant, 0)) return;
    const std::string what = search.unknown.empty() ? "is not a number of the plant"
                                                    : "there is no number `" + search.unknown + "` here";
    const std::string allowed = search.known.empty()
                                    ? "a path ends in an attribute with its unit, such as diameter_m"
                                    : text::suggest(search.unknown, search.known, "there are");
    throw InputError({Problem{path.text, {}, what, allowed, {}, 0}});
}

bool has_number(const plant::Plant& plant, const NumberPath& path) {
    plant::Plant copy = plant;
    return Search(path, 0.0).in(copy, 0);
}

}  // namespace oxfade::python
