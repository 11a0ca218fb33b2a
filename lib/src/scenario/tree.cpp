#include "scenario/tree.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <locale>
#include <sstream>
#include <utility>

#include "text/key_path.hpp"
#include "text/printable.hpp"

namespace oxfade::scenario::detail {
namespace {

constexpr int deepest = 16;                 // no key of the format lies deeper
constexpr std::size_t longest_line = 1000;  // bounds how deep a hostile file can nest
constexpr std::size_t longest_value = 80;   // shown in a message

InputError at_line(const std::string& name, int line, std::string what, std::string allowed) {
    return InputError({Problem{"", "", std::move(what), std::move(allowed), name, line}});
}

/// Brackets and braces that a line leaves open, strings and comment apart; `before` were open already.
/// Gives the most that were open at once.
int open_brackets(std::string_view line, int& before) {
    char quote = '\0';
    int most = before;
    for (const char c : line) {
        if (quote != '\0') {
            if (c == quote) quote = '\0';
        } else if (c == '"' || c == '\'') {
            quote = c;
        } else if (c == '#') {
            break;
        } else if (c == '[' || c == '{') {
            most = std::max(most, ++before);
        } else if (c == ']' || c == '}') {
            before = std::max(before - 1, 0);
        }
    }
    return most;
}

/// Keeps away what would nest so deep that taking the tree down again overruns the stack: the parser bounds
/// neither the parts of a dotted key nor what they add up to.
void refuse_monsters(std::string_view text, const std::string& name) {
    int open = 0;
    for (int line = 1; !text.empty(); ++line) {
        const auto end = std::min(text.find('\n'), text.size());
        if (end > longest_line) {
            throw at_line(name, line, "the line is too long",
                          fmt::format("at most {} characters; is this a scenario file?", longest_line));
        }
        if (open_brackets(text.substr(0, end), open) > deepest) {
            throw at_line(name, line, "too many brackets inside each other",
                          fmt::format("at most {}; is this a scenario file?", deepest));
        }
        text.remove_prefix(std::min(end + 1, text.size()));
    }
}

std::string clipped(std::string text) {
    if (text.size() <= longest_value) return text;
    std::size_t end = longest_value;
    while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) --end;  // keep UTF-8 whole
    return text.substr(0, end) + "...";
}

std::string printed(const toml::value<std::string>& text) {
    const char quote = text.get().find('"') == std::string::npos ? '"' : '\'';
    return quote + text.get() + quote;
}

std::string printed(const toml::value<double>& number) { return fmt::format("{}", number.get()); }

template <class Value>
std::string printed(const Value& value) {
    std::ostringstream out;
    out.imbue(std::locale::classic());
    out << value;
    return out.str();
}

/// What those who are new to TOML do wrong most often.
std::string way_out(std::string_view said) {
    if (said.find("could not determine value type") != std::string_view::npos)
        return "texts and quantities stand in quotes; ";
    if (said.find("cannot redefine existing array") != std::string_view::npos)
        return "each entry of a list has its heading in double brackets, [[riser]]; ";
    if (said.find("invalid utf-8") != std::string_view::npos) return "save the file as UTF-8; ";
    return "";
}

}  // namespace

toml::table parse_toml(std::string_view text, const std::string& name) {
    refuse_monsters(text, name);
    try {
        return toml::parse(text, std::string_view(name));
    } catch (const toml::parse_error& error) {
        throw at_line(name, static_cast<int>(error.source().begin.line), text::printable(error.description()),
                      way_out(error.description()) + "the file must be TOML 1.0");
    }
}

std::vector<std::string> entry_segments(const toml::array& list) {
    std::vector<std::string> names;
    for (const toml::node& entry : list) {
        const toml::table* table = entry.as_table();
        names.push_back(table ? table->at_path("name").value_or(std::string()) : std::string());
    }
    return text::entry_segments(names);
}

std::string shown(const toml::node& node) {
    if (node.is_table() || node.is_array_of_tables()) return "";
    const toml::array* list = node.as_array();
    if (list == nullptr) return clipped(node.visit([](const auto& value) { return printed(value); }));
    std::vector<std::string> entries;
    for (std::size_t i = 0; i < std::min(list->size(), longest_value); ++i) {
        entries.push_back((*list)[i].is_array() ? "[...]" : shown((*list)[i]));
    }
    return clipped(fmt::format("[{}]", fmt::join(entries, ", ")));
}

Origins::Origins(const toml::table& root) { record(root, "", 0); }

void Origins::take(std::map<std::string, Origin> others) {
    for (auto& [path, origin] : others) {
        const auto here = origins_.find(path);
        if (here != origins_.end() && here->second.raw == origin.shown) here->second = std::move(origin);
    }
}

const Origin* Origins::find(const std::string& path) const {
    const auto found = origins_.find(path);
    return found == origins_.end() ? nullptr : &found->second;
}

const Origin& Origins::nearest(std::string path) const {
    while (true) {
        if (const Origin* origin = find(path)) return *origin;
        const auto dot = path.rfind('.');
        path.resize(dot == std::string::npos ? 0 : dot);
    }
}

void Origins::record(const toml::node& node, const std::string& path, int depth) {
    origins_[path] = {static_cast<int>(node.source().begin.line), shown(node), {}, {}, {}};
    if (depth == deepest) return;
    if (const toml::table* table = node.as_table()) {
        for (const auto& [key, value] : *table) record(value, text::join_path(path, key.str()), depth + 1);
    } else if (const toml::array* list = node.as_array()) {
        record_list(*list, path, depth);
    }
}

void Origins::record_list(const toml::array& list, const std::string& path, int depth) {
    const auto segments = entry_segments(list);
    for (std::size_t i = 0; i < segments.size(); ++i) {
        record(*list.get(i), text::join_path(path, segments[i]), depth + 1);
    }
}

}  // namespace oxfade::scenario::detail
