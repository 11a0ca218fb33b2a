#include "text/number.hpp"

#include <charconv>
#include <cmath>
#include <optional>
#include <system_error>

namespace oxfade::text {
namespace {

constexpr std::string_view blanks = " \t\r\n";

bool is_digit(char c) { return c >= '0' && c <= '9'; }

/// Takes digits off the front of `text`.
std::optional<double> take_digits(std::string_view& text) {
    std::size_t length = 0;
    while (length < text.size() && is_digit(text[length])) ++length;
    if (length == 0) return std::nullopt;
    double value = 0.0;
    std::from_chars(text.data(), text.data() + length, value);
    text.remove_prefix(length);
    return value;
}

/// Takes `digits / digits` off the front of `text`, which stays as it is when that is not there.
std::optional<double> take_fraction(std::string_view& text) {
    std::string_view rest = text;
    const auto above = take_digits(rest);
    if (!above || rest.empty() || rest.front() != '/') return std::nullopt;
    rest.remove_prefix(1);
    const auto below = take_digits(rest);
    if (!below) return std::nullopt;
    text = rest;
    return *above / *below;
}

/// Takes `digits [ -]fraction` off the front of `text`.
std::optional<double> take_mixed(std::string_view& text) {
    std::string_view rest = text;
    const auto whole = take_digits(rest);
    if (!whole || rest.empty() || (rest.front() != ' ' && rest.front() != '-')) return std::nullopt;
    rest.remove_prefix(1);
    const auto fraction = take_fraction(rest);
    if (!fraction) return std::nullopt;
    text = rest;
    return *whole + *fraction;
}

LeadingNumber finished(double value, std::string_view rest) {
    if (!std::isfinite(value)) return {NumberState::not_finite, 0.0, trim(rest)};
    if (rest.size() > 1 && rest[0] == ',' && is_digit(rest[1]))
        return {NumberState::decimal_comma, 0.0, rest};
    return {NumberState::good, value, trim(rest)};
}

LeadingNumber decimal(std::string_view text, double sign) {
    double value = 0.0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error == std::errc::invalid_argument) return {NumberState::missing, 0.0, text};
    if (error == std::errc::result_out_of_range) return {NumberState::out_of_range, 0.0, text};
    return finished(sign * value, text.substr(static_cast<std::size_t>(end - text.data())));
}

}  // namespace

std::string_view trim(std::string_view text) {
    const auto first = text.find_first_not_of(blanks);
    if (first == std::string_view::npos) return {};
    return text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

LeadingNumber leading_number(std::string_view text) {
    text = trim(text);
    double sign = 1.0;
    if (!text.empty() && (text.front() == '+' || text.front() == '-')) {
        sign = text.front() == '-' ? -1.0 : 1.0;
        text.remove_prefix(1);
        if (text.empty() || text.front() == '-') return {NumberState::missing, 0.0, text};
    }
    if (const auto mixed = take_mixed(text)) return finished(sign * *mixed, text);
    if (const auto fraction = take_fraction(text)) return finished(sign * *fraction, text);
    return decimal(text, sign);
}

}  // namespace oxfade::text
