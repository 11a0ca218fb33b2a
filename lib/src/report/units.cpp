#include "oxfade/report/units.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstddef>

namespace oxfade::report {
namespace {

using outcome::Dimension;

constexpr double pascals_per_psi = 6894.757293168;
constexpr double cubic_metres_per_gallon = 3.785411784e-3;  // US gallon
constexpr double metres_per_foot = 0.3048;
constexpr double metres_per_inch = 0.0254;
constexpr double cubic_metres_per_cubic_foot = metres_per_foot * metres_per_foot * metres_per_foot;
constexpr double least_purity = 0.9;  // a fraction from here on is read as a purity
constexpr double seconds_per_hour = 3600.0;
constexpr double seconds_per_day = 86400.0;

/// Fixed decimals, trailing zeros and a bare point removed, "-0" made "0".
std::string fixed(double value, int decimals) {
    if (!std::isfinite(value)) return "unknown";
    std::string text = fmt::format("{:.{}f}", value, decimals);
    if (text.find('.') != std::string::npos) {
        text.erase(text.find_last_not_of('0') + 1);
        if (text.back() == '.') text.pop_back();
    }
    return text == "-0" ? "0" : text;
}

std::string with_unit(double value, const char* unit) {
    return fmt::format("{} {}", format_number(value), unit);
}

std::string format_pressure(double si, const Units& units) {
    return units.system == System::us ? with_unit(si / pascals_per_psi, "psi") : with_unit(si / 1e3, "kPa");
}

/// Gauge pressures are read to a fixed resolution, as on a dial.
std::string gauge_number(double si, const Units& units) {
    const double gauge = si - units.site_pressure;
    return units.system == System::us ? fixed(gauge / pascals_per_psi, 1) : fixed(gauge / 1e5, 2);
}

const char* gauge_unit(const Units& units) { return units.system == System::us ? "psig" : "barg"; }

std::string format_standard_flow(double si, const Units& units) {
    return units.system == System::us
               ? with_unit(si / cubic_metres_per_cubic_foot * seconds_per_hour, "ft3/h")
               : with_unit(si * 1e3 * 60.0, "L/min");
}

std::string format_standard_volume(double si, const Units& units) {
    return units.system == System::us ? with_unit(si / cubic_metres_per_cubic_foot, "ft3")
                                      : with_unit(si, "m3");
}

std::string format_volume(double si, const Units& units) {
    return units.system == System::us ? with_unit(si / cubic_metres_per_gallon, "gal")
                                      : with_unit(si * 1e3, "L");
}

std::string format_length(double si, const Units& units) {
    const bool us = units.system == System::us;
    if (std::abs(si) < 1.0) return us ? with_unit(si / metres_per_inch, "in") : with_unit(si * 1e3, "mm");
    return us ? with_unit(si / metres_per_foot, "ft") : with_unit(si, "m");
}

/// The number in `text` from `begin` on, when it is `{digits}`; its end is where the brace closes.
struct Placeholder {
    std::size_t index = 0, end = 0;
};
bool find_placeholder(const std::string& text, std::size_t begin, Placeholder& found) {
    std::size_t at = begin + 1;
    std::size_t index = 0;
    while (at < text.size() && std::isdigit(static_cast<unsigned char>(text[at])) != 0 && at < begin + 4) {
        index = index * 10 + static_cast<std::size_t>(text[at++] - '0');
    }
    if (at == begin + 1 || at >= text.size() || text[at] != '}') return false;
    found = {index, at + 1};
    return true;
}

}  // namespace

Units units_of(const plant::Plant& plant, System system) {
    return {system, plant.site.pressure, plant.site.reference};
}

std::string format_number(double value, int digits) {
    if (!std::isfinite(value)) return "unknown";
    if (value == 0.0) return "0";
    const int magnitude = static_cast<int>(std::floor(std::log10(std::abs(value))));
    return fixed(value, std::clamp(digits - 1 - magnitude, 0, 15));
}

std::string format_time(double seconds) {
    if (!std::isfinite(seconds)) return "unknown";
    if (std::abs(seconds) < 90.0) return with_unit(seconds, "s");
    if (std::abs(seconds) < 90.0 * 60.0) return fixed(seconds / 60.0, 1) + " min";
    const double hours = std::round(seconds / seconds_per_hour * 10.0) / 10.0;
    if (std::abs(hours) < 36.0) return fixed(hours, 1) + " h";
    const double days = std::trunc(hours / 24.0);
    const std::string rest = fixed(std::abs(hours - days * 24.0), 1);
    return rest == "0" ? fmt::format("{:.0f} d", days) : fmt::format("{:.0f} d {} h", days, rest);
}

std::string format_day(double seconds) { return "day " + fixed(seconds / seconds_per_day, 2); }

std::string format_temperature(double kelvin, const Units& units) {
    constexpr double zero_celsius = 273.15;
    const double celsius = kelvin - zero_celsius;
    if (units.system == System::us) return format_number(celsius * 1.8 + 32.0) + " degF";
    return format_number(celsius) + " degC";
}

std::string format_percent(double fraction) {
    const double percent = fraction * 100.0;
    return (std::abs(percent) < 0.1 ? format_number(percent, 2) : fixed(percent, 2)) + " %";
}

std::string format_purity(double purity) {
    // A purity typed as 98 % must not fall to 97.99 % by rounding of binary fractions.
    constexpr double slack = 1e-9;
    const double steps = purity > 0.999 ? 1e5 : 1e4;
    return fixed(std::floor(purity * steps + slack) / steps * 100.0, 3) + " %";
}

std::string format_value(double si, Dimension dimension, const Units& units) {
    switch (dimension) {
        case Dimension::pressure:
            return format_pressure(si, units);
        case Dimension::gauge_pressure:
            return gauge_number(si, units) + " " + gauge_unit(units);
        case Dimension::standard_flow:
            return format_standard_flow(si, units);
        case Dimension::standard_volume:
            return format_standard_volume(si, units);
        case Dimension::volume:
            return format_volume(si, units);
        case Dimension::time:
            return format_time(si);
        case Dimension::fraction:
            return si < least_purity ? format_percent(si) : format_purity(si);
        case Dimension::count:
            return format_number(si);
        case Dimension::length:
            return format_length(si, units);
        case Dimension::temperature:
            return format_temperature(si, units);
        case Dimension::temperature_difference:
            return units.system == System::us ? format_number(si * 1.8) + " degF" : format_number(si) + " K";
        case Dimension::day:
            return format_day(si);
    }
    return format_number(si);
}

std::string format_amount(double moles, const Units& units) {
    return format_standard_volume(plant::standard_volume(units.reference, moles), units);
}

std::string format_molar_flow(double moles_per_second, const Units& units) {
    return format_standard_flow(plant::standard_volume(units.reference, moles_per_second), units);
}

std::string format_gauge_range(double low, double high, const Units& units) {
    const std::string from = gauge_number(low, units);
    const std::string to = gauge_number(high, units);
    if (from == to) return fmt::format("{} {}", to, gauge_unit(units));
    return fmt::format("{} to {} {}", from, to, gauge_unit(units));
}

std::string format_message(const outcome::Message& message, const Units& units) {
    std::string text;
    for (std::size_t at = 0; at < message.text.size();) {
        Placeholder found;
        if (message.text[at] == '{' && find_placeholder(message.text, at, found) &&
            found.index < message.values.size()) {
            const outcome::Message::Value& value = message.values[found.index];
            text += format_value(value.si, value.dimension, units);
            at = found.end;
        } else {
            text += message.text[at++];
        }
    }
    return text;
}

}  // namespace oxfade::report
