#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <optional>
#include <utility>

#include "scenario/tree.hpp"
#include "text/key_path.hpp"
#include "text/nearest.hpp"

namespace oxfade::scenario {
namespace detail {
namespace {

constexpr std::size_t most_segments = 16;

Problem problem(const Override& override, std::string what, std::string allowed) {
    return {override.key, override.value, std::move(what), std::move(allowed), std::string(override_name), 0};
}

/// The value as TOML, when it is exactly one TOML value.
std::optional<toml::table> parsed_value(const std::string& value) {
    try {
        auto table = toml::parse("value = " + value);
        if (table.size() == 1) return table;
    } catch (const toml::parse_error&) {  // then it is bare text
    }
    return std::nullopt;
}

/// Puts a copy of the node into the table. Copies have no source line, which marks them as overrides.
void put(toml::table& table, const std::string& key, const toml::node& node) {
    node.visit([&](const auto& value) { table.insert_or_assign(key, value); });
}

void put_value(toml::table& table, const std::string& key, const std::string& value) {
    if (const auto parsed = parsed_value(value)) {
        put(table, key, *parsed->get("value"));
    } else {
        table.insert_or_assign(key, value);
    }
}

/// Position of an entry called by name or by 0-based index.
std::optional<std::size_t> entry_index(const toml::array& list, const std::string& segment) {
    const auto segments = entry_segments(list);
    const auto named = std::find(segments.begin(), segments.end(), segment);
    if (named != segments.end()) return static_cast<std::size_t>(named - segments.begin());
    std::size_t index = 0;
    const char* end = segment.data() + segment.size();
    const auto [stop, error] = std::from_chars(segment.data(), end, index);
    if (error != std::errc() || stop != end || index >= list.size()) return std::nullopt;
    return index;
}

/// Walks down to the table that holds the last segment of the path; makes tables that the file leaves out.
class Walk {
  public:
    Walk(const Override& override, toml::table& root) : override_(override), node_(&root) {}

    bool step(const std::string& segment) {
        if (toml::array* list = node_->as_array()) return step_into_list(*list, segment);
        if (toml::table* table = node_->as_table()) return step_into_table(*table, segment);
        return stop_at_value();
    }

    toml::table* table() {
        if (node_->is_array()) {
            stop(fmt::format("`{}` is a list", path_), "call one of its entries by name or 0-based index");
        } else if (!node_->is_table()) {
            stop_at_value();
        }
        return node_->as_table();
    }
    std::optional<Problem> failure() const { return failure_; }

  private:
    bool step_into_list(toml::array& list, const std::string& segment) {
        const auto index = entry_index(list, segment);
        if (!index) {
            return stop(fmt::format("there is no `{}`", text::join_path(path_, segment)),
                        text::suggest(segment, entry_segments(list), "there are"));
        }
        path_ = text::join_path(path_, segment);
        node_ = list.get(*index);
        return true;
    }

    bool step_into_table(toml::table& table, const std::string& segment) {
        path_ = text::join_path(path_, segment);
        toml::node* next = table.get(segment);
        if (next == nullptr) next = &table.insert_or_assign(segment, toml::table{}).first->second;
        node_ = next;
        return true;
    }

    bool stop_at_value() { return stop(fmt::format("`{}` is a plain value and has no keys", path_), ""); }

    bool stop(std::string what, std::string allowed) {
        failure_ = problem(override_, std::move(what), std::move(allowed));
        return false;
    }

    const Override& override_;
    toml::node* node_;
    std::string path_;
    std::optional<Problem> failure_;
};

std::optional<Problem> apply(const Override& override, toml::table& root) {
    const auto segments = text::split_path(override.key);
    if (!segments || segments->size() > most_segments) {
        return problem(override, "is not a dotted path", "for example riser.North.set_pressure");
    }
    Walk walk(override, root);
    for (std::size_t i = 0; i + 1 < segments->size(); ++i) {
        if (!walk.step((*segments)[i])) return walk.failure();
    }
    toml::table* table = walk.table();
    if (table == nullptr) return walk.failure();
    put_value(*table, segments->back(), override.value);
    return std::nullopt;
}

}  // namespace

std::vector<Problem> apply(const std::vector<Override>& overrides, toml::table& root) {
    std::vector<Problem> problems;
    for (const Override& override : overrides) {
        if (auto found = apply(override, root)) problems.push_back(std::move(*found));
    }
    return problems;
}

}  // namespace detail

Override parse_override(std::string_view assignment) {
    char quote = '\0';
    for (std::size_t i = 0; i < assignment.size(); ++i) {
        const char c = assignment[i];
        if (quote != '\0') {
            if (c == quote) quote = '\0';
        } else if (c == '\'' || c == '"') {
            quote = c;
        } else if (c == '=' && i > 0) {
            return {std::string(assignment.substr(0, i)), std::string(assignment.substr(i + 1))};
        }
    }
    throw InputError(
        {Problem{"", std::string(assignment), "is not KEY=VALUE",
                 "for example riser.North.set_pressure=\"28 psig\"", std::string(detail::override_name), 0}});
}

}  // namespace oxfade::scenario
