#include "text/key_path.hpp"

#include <algorithm>
#include <unordered_set>

namespace oxfade::text {
namespace {

bool is_quote(char c) { return c == '\'' || c == '"'; }

std::string quoted(std::string_view segment) {
    const bool plain = !segment.empty() && segment.find_first_of(".'\"") == std::string_view::npos;
    if (plain) return std::string(segment);
    const char quote = segment.find('\'') == std::string_view::npos ? '\'' : '"';
    return quote + std::string(segment) + quote;
}

/// Takes the next segment off the front of `path`; empty when there is none or its quote is left open.
std::optional<std::string> take_segment(std::string_view& path) {
    std::string segment;
    if (!path.empty() && is_quote(path.front())) {
        const auto close = path.find(path.front(), 1);
        if (close == std::string_view::npos) return std::nullopt;
        segment = path.substr(1, close - 1);
        path.remove_prefix(close + 1);
    } else {
        const auto dot = std::min(path.find('.'), path.size());
        segment = path.substr(0, dot);
        path.remove_prefix(dot);
    }
    if (segment.empty()) return std::nullopt;
    return segment;
}

}  // namespace

std::string join_path(std::string_view path, std::string_view segment) {
    if (path.empty()) return quoted(segment);
    return std::string(path) + '.' + quoted(segment);
}

std::vector<std::string> entry_segments(const std::vector<std::string>& names) {
    std::vector<std::string> segments;
    segments.reserve(names.size());
    std::unordered_set<std::string_view> taken;
    for (std::size_t i = 0; i < names.size(); ++i) {
        const bool usable = !names[i].empty() && taken.insert(names[i]).second;
        segments.push_back(usable ? names[i] : std::to_string(i));
    }
    return segments;
}

std::optional<std::vector<std::string>> split_path(std::string_view path) {
    std::vector<std::string> segments;
    while (true) {
        auto segment = take_segment(path);
        if (!segment) return std::nullopt;
        segments.push_back(std::move(*segment));
        if (path.empty()) return segments;
        if (path.front() != '.') return std::nullopt;
        path.remove_prefix(1);
    }
}

}  // namespace oxfade::text
