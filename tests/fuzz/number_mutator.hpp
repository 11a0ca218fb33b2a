#pragma once

#include <array>
#include <cctype>
#include <cstddef>
#include <cstdint>
#include <random>
#include <string>
#include <string_view>

/// Changes a text of keys and quantities in ways that keep most of it readable: a number becomes another one,
/// or one word takes the place of another of the same text. Flipping bytes alone seldom gets past the parser.
namespace oxfade::fuzz {

/// Numbers that people and machines get wrong.
inline constexpr std::array<std::string_view, 28> odd_numbers{
    "0",    "1",    "-1",    "2",       "3.5",    "100",        "1000",       "0.001", "1e-3",  "1e3",
    "1e-9", "1e9",  "1e-12", "1e12",    "1e-300", "1e300",      "4.9e-324",   "1e308", "1e999", "nan",
    "inf",  "-inf", "-0",    "0.99999", "1,5",    "2147483647", "9999999999", "0x10"};

inline bool of_number(char c) { return std::isdigit(static_cast<unsigned char>(c)) != 0 || c == '.'; }
inline bool of_word(char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_'; }

/// The stretch of characters of a kind around or after a place; empty when there is none.
template <class Kind>
std::string_view stretch(std::string_view text, std::size_t from, const Kind& kind) {
    while (from < text.size() && !kind(text[from])) ++from;
    std::size_t begin = from, end = from;
    while (begin > 0 && kind(text[begin - 1])) --begin;
    while (end < text.size() && kind(text[end])) ++end;
    return text.substr(begin, end - begin);
}

/// The text with one number or word changed; no longer than `room`.
inline std::string with_one_change(std::string_view text, std::size_t room, std::uint32_t seed) {
    if (text.empty()) return {};
    std::minstd_rand draw(seed);
    const auto below = [&](std::size_t count) { return static_cast<std::size_t>(draw()) % count; };
    const bool number = below(3) != 0;
    const auto old =
        number ? stretch(text, below(text.size()), of_number) : stretch(text, below(text.size()), of_word);
    std::string fresh(number ? odd_numbers[below(odd_numbers.size())]
                             : stretch(text, below(text.size()), of_word));
    if (number && below(2) == 0)
        fresh = std::string(old) + "e" + std::to_string(static_cast<int>(below(25)) - 12);
    std::string changed(text);
    const auto at = static_cast<std::size_t>(old.data() - text.data());
    changed.replace(at, old.size(), fresh);
    if (changed.size() > room) changed.resize(room);
    return changed;
}

}  // namespace oxfade::fuzz
