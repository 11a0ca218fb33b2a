#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// Helpers for words that people type.
namespace oxfade::text {

/// Number of single-letter edits (insert, delete, replace) between two words; case does not count.
std::size_t edit_distance(std::string_view a, std::string_view b);

/// The candidate nearest to a word, when one is near enough to be what was meant.
std::optional<std::string> nearest(std::string_view word, const std::vector<std::string>& candidates);

/// "did you mean `near`?" when a candidate is near; else "`<noun>`: a, b, c".
std::string suggest(std::string_view word, const std::vector<std::string>& candidates, std::string_view noun);

}  // namespace oxfade::text
