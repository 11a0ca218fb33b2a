#pragma once

#include <algorithm>
#include <string>
#include <string_view>

namespace oxfade::text {

/// A letter of ASCII as a small one, in every locale; any other byte as it is.
constexpr char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

/// In small letters.
inline std::string lower_case(std::string_view text) {
    std::string result(text);
    std::transform(result.begin(), result.end(), result.begin(), lower);
    return result;
}

}  // namespace oxfade::text
