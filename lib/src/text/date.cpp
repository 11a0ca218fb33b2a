#include "text/date.hpp"

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <chrono>
#include <cmath>
#include <cstddef>

#include "text/number.hpp"

namespace oxfade::text {
namespace {

bool digit_at(std::string_view text, std::size_t place) {
    return place < text.size() && text[place] >= '0' && text[place] <= '9';
}

/// Takes exactly so many digits off the front.
std::optional<int> take_number(std::string_view& text, std::size_t digits) {
    for (std::size_t i = 0; i < digits; ++i) {
        if (!digit_at(text, i)) return std::nullopt;
    }
    int value = 0;
    std::from_chars(text.data(), text.data() + digits, value);
    text.remove_prefix(digits);
    return value;
}

bool take_sign(std::string_view& text, char sign) {
    if (text.empty() || text.front() != sign) return false;
    text.remove_prefix(1);
    return true;
}

/// The time of day that the rest of a date holds: `08:00`, `08:00:30`, `08:00:30.5` [s].
std::optional<double> time_of_day(std::string_view text) {
    const auto hour = take_number(text, 2);
    if (!hour || *hour > 23 || !take_sign(text, ':')) return std::nullopt;
    const auto minute = take_number(text, 2);
    if (!minute || *minute > 59) return std::nullopt;
    const double whole = 3600.0 * *hour + 60.0 * *minute;
    if (text.empty()) return whole;
    if (!take_sign(text, ':') || !digit_at(text, 0) || !digit_at(text, 1)) return std::nullopt;
    double second = 0.0;
    const auto [end, error] =
        std::from_chars(text.data(), text.data() + text.size(), second, std::chars_format::fixed);
    if (error != std::errc{} || end != text.data() + text.size() || !(second < 60.0)) return std::nullopt;
    return whole + second;
}

}  // namespace

bool looks_like_date(std::string_view text) {
    text = trim(text);
    return digit_at(text, 0) && digit_at(text, 1) && digit_at(text, 2) && digit_at(text, 3) &&
           text.size() > 4 && text[4] == '-';
}

std::optional<double> parse_date(std::string_view text) {
    text = trim(text);
    const auto year = take_number(text, 4);
    if (!year || *year < 1583 || !take_sign(text, '-')) return std::nullopt;
    const auto month = take_number(text, 2);
    if (!month || !take_sign(text, '-')) return std::nullopt;
    const auto day = take_number(text, 2);
    if (!day) return std::nullopt;
    const std::chrono::year_month_day date{std::chrono::year{*year},
                                           std::chrono::month{static_cast<unsigned>(*month)},
                                           std::chrono::day{static_cast<unsigned>(*day)}};
    if (!date.ok()) return std::nullopt;
    const double midnight =
        86400.0 * static_cast<double>(std::chrono::sys_days(date).time_since_epoch().count());
    if (text.empty()) return midnight;
    if (!take_sign(text, 'T') && !take_sign(text, 't') && !take_sign(text, ' ')) return std::nullopt;
    const auto time = time_of_day(text);
    return time ? std::optional(midnight + *time) : std::nullopt;
}

std::string date_text(double seconds) {
    const double days = std::floor(seconds / 86400.0);
    const std::chrono::year_month_day date{std::chrono::sys_days{std::chrono::days{static_cast<long>(days)}}};
    const double rest = seconds - 86400.0 * days;
    const int whole = static_cast<int>(rest);
    std::string text = fmt::format("{:04}-{:02}-{:02} {:02}:{:02}", static_cast<int>(date.year()),
                                   static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()),
                                   whole / 3600, whole / 60 % 60);
    if (whole % 60 != 0) text += fmt::format(":{:02}", whole % 60);
    return text;
}

std::string iso_date(double seconds) {
    std::string text = date_text(seconds);
    text.at(10) = 'T';
    return text.size() == 16 ? text + ":00" : text;
}

std::optional<Clock> parse_clock(std::string_view text) {
    text = trim(text);
    std::array<double, 3> fields{};
    std::size_t count = 0;
    while (true) {
        std::size_t digits = 0;
        while (digit_at(text, digits)) ++digits;
        if (digits == 0 || digits > 9 || (count > 0 && digits != 2)) return std::nullopt;
        const bool last = digits == text.size() || text[digits] != ':';
        const std::size_t length = last ? text.size() : digits;
        const auto [end, error] =
            std::from_chars(text.data(), text.data() + length, fields.at(count), std::chars_format::fixed);
        if (error != std::errc{} || end != text.data() + length) return std::nullopt;
        ++count;
        if (last) break;
        if (count == fields.size()) return std::nullopt;
        text.remove_prefix(digits + 1);
    }
    if (count == 2) return Clock{0.0, fields[0], fields[1], false};
    if (count == 3) return Clock{fields[0], fields[1], fields[2], true};
    return std::nullopt;
}

}  // namespace oxfade::text
