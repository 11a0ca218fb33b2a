#include <fmt/format.h>

#include "plant/fields.hpp"
#include "scenario/readers.hpp"
#include "text/key_path.hpp"
#include "text/nearest.hpp"

namespace oxfade::scenario::detail {
namespace {

using plant::Deed;

/// Keys of quantities, for a message about one that there is not.
std::vector<std::string> quantity_keys(const std::vector<plant::detail::FieldEntry>& entries) {
    std::vector<std::string> keys;
    for (const auto& entry : entries) {
        if (entry.is_quantity) keys.push_back(entry.key());
    }
    return keys;
}

/// What a `set` changes, and what it becomes: the key says which dimension the value must have.
void read_change(Table& table, const plant::Plant& plant, plant::Action& action) {
    action.key = table.required_text("key");
    const auto segments = text::split_path(action.key);
    const auto entries = plant::detail::field_entries(plant);
    const auto place = segments ? plant::detail::find_quantity(entries, *segments) : std::nullopt;
    if (!place) {
        if (!action.key.empty()) {
            const auto near = text::nearest(action.key, quantity_keys(entries));
            table.add_problem("key", "the plant has no such quantity",
                              near ? fmt::format("did you mean `{}`?", *near)
                                   : std::string("for example riser.North.set_pressure"));
        }
        table.is_text("value", {});  // known, but of no use without its key
        return;
    }
    if (place->dimension()) {
        action.value = table.required_quantity("value", *place->dimension());
    } else {
        if (!table.has("value")) table.add_problem("value", "this key is missing", "a bare number is wanted");
        action.value = table.number("value").value_or(action.value);
    }
}

}  // namespace

plant::Action read_action(Table table, const plant::Plant& plant) {
    plant::Action action;
    action.at = table.required_moment("at");
    const auto deed = table.required_choice<Deed>("do", {{"drain", Deed::drain},
                                                         {"trip", Deed::trip},
                                                         {"outage", Deed::outage},
                                                         {"restore", Deed::restore},
                                                         {"shut", Deed::shut},
                                                         {"open", Deed::open},
                                                         {"set", Deed::set}});
    if (!deed) {
        table.reading().findings.shadow(table.path());
        return action;
    }
    action.deed = *deed;
    const bool valve = *deed == Deed::shut || *deed == Deed::open;
    if (valve || *deed == Deed::drain || *deed == Deed::trip) action.riser = table.required_text("riser");
    if (valve) action.what = table.required_text("what");
    if (*deed == Deed::drain) action.what = table.text("what").value_or("");
    if (*deed == Deed::trip) action.duration = table.quantity("for", Dimension::time).value_or(0.0);
    if (*deed == Deed::set) read_change(table, plant, action);
    table.finish();
    return action;
}

}  // namespace oxfade::scenario::detail
