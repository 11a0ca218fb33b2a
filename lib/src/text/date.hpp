#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace oxfade::text {

/// Reads `2026-03-02`, `2026-03-02T08:00` or `2026-03-02 08:00:30` (ISO 8601, local, without an offset).
/// Gives seconds [s] since 1970-01-01 00:00 by the same clock; empty for what is no such date from 1583 to
/// 9999.
std::optional<double> parse_date(std::string_view text);

/// True when a text begins as a date does: four digits and a hyphen.
bool looks_like_date(std::string_view text);

/// `2026-03-02 08:00` for seconds since 1970-01-01 00:00, with seconds where they are not zero.
std::string date_text(double seconds);

/// The same as a file has it: `2026-03-02T08:00:00`.
std::string iso_date(double seconds);

/// A text with colons.
struct Clock {
    double hours = 0.0, minutes = 0.0, seconds = 0.0;
    bool has_hours = false;
};
/// Reads `mm:ss` or `h:mm:ss`, with decimals of seconds if it has any; empty for another form. Fields after
/// the first have two digits, of any value.
std::optional<Clock> parse_clock(std::string_view text);

}  // namespace oxfade::text
