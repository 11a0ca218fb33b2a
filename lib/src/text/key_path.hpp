#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace oxfade::text {

/// A dotted path with one more segment: `riser` and `North` give `riser.North`. A segment with a dot or a
/// quote in it is put in quotes.
std::string join_path(std::string_view path, std::string_view segment);

/// Path segments of the entries of a list: the name where an entry has one that no earlier entry has,
/// else its 0-based index.
std::vector<std::string> entry_segments(const std::vector<std::string>& names);

/// Splits a dotted path into its segments; segments may be quoted ('end vent' or "end vent"). Empty when a
/// segment is empty or a quote is left open.
std::optional<std::vector<std::string>> split_path(std::string_view path);

}  // namespace oxfade::text
