#include "oxfade/scenario/quantity.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <vector>

#include "oxfade/error.hpp"
#include "scenario/udunits.hpp"
#include "scenario/unit_text.hpp"
#include "text/date.hpp"
#include "text/nearest.hpp"
#include "text/number.hpp"

namespace oxfade::scenario {
namespace {

using detail::Kind;
using detail::Unit;

struct DimensionRow {
    std::string_view words, example;
    Kind kind;
    std::vector<std::string> units;  ///< usual ones, to suggest
};

/// In the order of Dimension.
const std::array<DimensionRow, 13>& dimensions() {
    static const std::array<DimensionRow, 13> rows{{
        {"a length", "240 ft", Kind::length, {"in", "ft", "mm", "cm", "m"}},
        {"a volume", "700 gal", Kind::volume, {"gal", "ft3", "L", "m3"}},
        {"a time", "30 min", Kind::time, {"s", "min", "h", "d"}},
        {"a pressure", "28 psig", Kind::pressure, {"psig", "psi", "psia", "kPa", "kPag", "bar", "barg"}},
        {"an absolute pressure", "101.325 kPa", Kind::pressure, {"psia", "psi", "kPa", "bar", "inHg"}},
        {"a pressure difference", "1.5 psi", Kind::pressure, {"psi", "kPa", "bar", "inHg"}},
        {"a temperature", "18 degC", Kind::temperature, {"degC", "degF", "K"}},
        {"a temperature difference", "6 K", Kind::temperature, {"degC", "degF", "K"}},
        {"a volume flow",
         "140 ft3/h",
         Kind::volume_flow,
         {"ft3/h", "ft3/min", "cfm", "cfh", "L/min", "m3/h"}},
        {"a molar flow", "0.001 mol/s", Kind::molar_flow, {"mol/s"}},
        {"a power", "4 kW", Kind::power, {"W", "kW", "hp"}},
        {"a fraction", "98 %", Kind::ratio, {"%", "ppm"}},
        {"a slope", "1 in / 10 ft", Kind::ratio, {"%", "in/ft", "mm/m"}},
    }};
    return rows;
}

const DimensionRow& row_of(Dimension dimension) { return dimensions()[static_cast<std::size_t>(dimension)]; }

constexpr std::size_t longest_text = 200;  // of a quantity; longer ones are refused

/// The number's unit, and what its pressure counts from.
struct ReadUnit {
    Unit unit;
    std::optional<UnitSystem> system;
    bool gauge = false, marked = false;
    std::optional<plant::Reference> counted_at;
};

std::optional<ReadUnit> look_up_plain(std::string_view text) {
    const auto translated = detail::translate_unit(text);
    if (!translated) return std::nullopt;
    const auto unit = detail::find_unit(translated->udunits);
    if (!unit) return std::nullopt;
    const bool volume = unit->kind == Kind::volume || unit->kind == Kind::volume_flow;
    if (translated->counted_at && !volume) return std::nullopt;  // `Nm` alone is no unit of length
    return ReadUnit{*unit, translated->system, false, false, translated->counted_at};
}

/// The unit in another spelling that means one thing where that kind is wanted.
std::optional<ReadUnit> look_up_other(std::string_view text, Kind wanted) {
    const auto unit = detail::other_spelling(text, wanted);
    if (!unit) return std::nullopt;
    auto read = look_up_plain(*unit);
    if (!read || read->unit.kind != wanted) return std::nullopt;
    if (*unit == "psia") read->marked = true;
    return read;
}

/// A pressure unit with a trailing `g` (gauge) or `a` (absolute).
std::optional<ReadUnit> look_up_marked(std::string_view text) {
    if (text.size() < 2) return std::nullopt;
    const bool gauge = text.back() == 'g' || text.back() == 'G';
    if (!gauge && text.back() != 'a' && text.back() != 'A') return std::nullopt;
    const auto front = text::trim(text.substr(0, text.size() - 1));
    auto read = look_up_plain(front);
    if (!read || read->unit.kind != Kind::pressure) read = look_up_other(front, Kind::pressure);
    if (!read || read->unit.kind != Kind::pressure) return std::nullopt;
    read->gauge = gauge;
    read->marked = true;
    return read;
}

/// The unit as it stands; with its mark where it is no unit, or not the pressure wanted.
std::optional<ReadUnit> look_up(std::string_view text, Kind wanted) {
    auto plain = look_up_plain(text);
    if (plain && plain->unit.kind == Kind::pressure) plain->marked = text.back() == 'a' && text != "Pa";
    // `nm3/h` would be cubic nanometres, which nobody means.
    const bool nanometres =
        text.starts_with("nm3") || text.starts_with("nm\u00b3") || text.starts_with("nm^3");
    if (plain && plain->unit.kind == wanted && !nanometres) return plain;
    if (const auto other = look_up_other(text, wanted)) return other;
    if (plain && wanted != Kind::pressure) return plain;
    auto marked = look_up_marked(text);
    return marked ? marked : plain;
}

bool is_fraction_unit(std::string_view unit) { return unit == "%" || unit == "percent" || unit == "ppm"; }

std::string wanted_with_example(Dimension wanted) {
    return fmt::format("{} is wanted, for example \"{}\"", to_string(wanted), example_of(wanted));
}

QuantityError number_error(text::NumberState state, std::string_view text, Dimension wanted) {
    const auto allowed = wanted_with_example(wanted);
    switch (state) {
        case text::NumberState::decimal_comma:
            return {fmt::format("`{}` has a comma in its number", text),
                    "write a decimal point, and nothing between thousands"};
        case text::NumberState::out_of_range:
            return {fmt::format("the number of `{}` is too large or too small to hold", text), allowed};
        case text::NumberState::not_finite:
            return {fmt::format("`{}` is not a finite number", text), allowed};
        default:
            return {fmt::format("`{}` does not begin with a number", text), allowed};
    }
}

QuantityError unit_error(std::string_view text, std::string_view unit, Dimension wanted) {
    if (unit.empty()) return {fmt::format("`{}` has no unit", text), wanted_with_example(wanted)};
    const auto near = text::nearest(unit, row_of(wanted).units);
    const auto hint = near ? fmt::format("did you mean `{}`? ", *near) : std::string();
    return {fmt::format("`{}` is not a known unit", unit), hint + wanted_with_example(wanted)};
}

QuantityError dimension_error(std::string_view text, const ReadUnit& read, Dimension wanted) {
    const auto what =
        fmt::format("{} is wanted, `{}` is {}", to_string(wanted), text, to_string(read.unit.kind));
    if (wanted == Dimension::length && read.unit.kind == Kind::area)
        return {what, "for a hole give its diameter, for example \"0.03 in\""};
    return {what, fmt::format("for example \"{}\"", example_of(wanted))};
}

QuantityError gauge_error(std::string_view text, std::string_view unit, Dimension wanted) {
    return {fmt::format("{} is wanted, `{}` is a gauge pressure", to_string(wanted), text),
            fmt::format("write it in {}, without the `g`", unit.substr(0, unit.size() - 1))};
}

bool dimension_fits(const ReadUnit& read, std::string_view unit, Dimension wanted) {
    if (wanted == Dimension::fraction || wanted == Dimension::slope) return is_fraction_unit(unit);
    return read.unit.kind == row_of(wanted).kind;
}

double in_si(double number, const ReadUnit& read, Dimension wanted, double air_pressure,
             const plant::Reference& reference) {
    const bool counts_from_zero = wanted == Dimension::temperature;
    const double value = number * read.unit.scale + (counts_from_zero ? read.unit.offset : 0.0);
    if (read.counted_at)
        return plant::standard_volume(reference, plant::standard_moles(*read.counted_at, value));
    return read.gauge && wanted == Dimension::pressure ? value + air_pressure : value;
}

/// `1 h 30 min`: each number and unit of a time up to the next number. One part when there is no other.
std::vector<std::string_view> time_parts(std::string_view text) {
    constexpr std::string_view digits = "0123456789";
    if (text::leading_number(text).rest.find_first_of(digits) == text.npos) return {text};
    std::vector<std::string_view> parts;
    std::size_t begin = 0;
    for (std::size_t i = 1; i < text.size(); ++i) {
        const bool digit = text[i] >= '0' && text[i] <= '9';
        const bool after_unit = text[i - 1] == ' ' || (text[i - 1] >= 'a' && text[i - 1] <= 'z');
        const auto before = text::trim(text.substr(begin, i - begin));
        const bool has_unit = !before.empty() && before.find_first_not_of("0123456789.+-/ ") != before.npos;
        if (!digit || !after_unit || !has_unit) continue;
        parts.push_back(before);
        begin = i;
    }
    parts.push_back(text::trim(text.substr(begin)));
    if (text::leading_number(parts.back()).rest.find_first_of("abcdefghijklmnopqrstuvwxyz") == text.npos)
        return {text};
    return parts;
}

Quantity in_seconds(double seconds) {
    Quantity time;
    time.value = seconds;
    return time;
}

/// `mm:ss` or `h:mm:ss`.
std::variant<Quantity, QuantityError> parse_colons(std::string_view text) {
    const auto clock = text::parse_clock(text);
    const std::string allowed =
        "minutes and seconds as 10:45, hours as 1:10:45, or a unit such as \"30 min\"";
    if (!clock) return QuantityError{fmt::format("`{}` is not a time with colons", text), allowed};
    if (!(clock->seconds < 60.0))
        return QuantityError{fmt::format("`{}` has {:g} seconds after the colon", text, clock->seconds),
                             "below 60; " + allowed};
    if (clock->has_hours && !(clock->minutes < 60.0))
        return QuantityError{fmt::format("`{}` has {:g} minutes after the hours", text, clock->minutes),
                             "below 60; " + allowed};
    return in_seconds(3600.0 * clock->hours + 60.0 * clock->minutes + clock->seconds);
}

/// A time in several parts.
std::variant<Quantity, QuantityError> parse_parts(const std::vector<std::string_view>& parts) {
    Quantity sum;
    for (const std::string_view part : parts) {
        const auto parsed = parse_quantity(part, Dimension::time, 0.0);
        const auto* found = std::get_if<Quantity>(&parsed);
        if (found == nullptr) return parsed;
        sum.value += found->value;
    }
    return sum;
}

/// The text with ` per ` written as a bar.
std::string with_bars(std::string_view text) {
    std::string plain(text);
    if (const auto per = plain.find(" per "); per != std::string::npos) plain.replace(per, 5, " / ");
    return plain;
}

/// A length over a length: `1 in / 10 ft`, `1/4 in/ft`.
std::variant<Quantity, QuantityError> parse_slope(std::string_view text) {
    const auto bar = text.rfind('/');
    const QuantityError no_slope{fmt::format("`{}` is not a height over a length", text),
                                 wanted_with_example(Dimension::slope)};
    if (bar == std::string_view::npos) return no_slope;
    const auto above = parse_quantity(text.substr(0, bar), Dimension::length, 0.0);
    std::string over(text::trim(text.substr(bar + 1)));
    if (text::leading_number(over).state == text::NumberState::missing) over.insert(0, "1 ");
    const auto below = parse_quantity(over, Dimension::length, 0.0);
    for (const auto* part : {&above, &below}) {
        if (std::holds_alternative<QuantityError>(*part)) return no_slope;
    }
    const double slope = std::get<Quantity>(above).value / std::get<Quantity>(below).value;
    if (!std::isfinite(slope)) return number_error(text::NumberState::out_of_range, text, Dimension::slope);
    return Quantity{slope, std::get<Quantity>(above).system};
}

}  // namespace

std::string_view to_string(Dimension dimension) { return row_of(dimension).words; }
std::string_view example_of(Dimension dimension) { return row_of(dimension).example; }

std::variant<Quantity, QuantityError> parse_quantity(std::string_view text, Dimension wanted,
                                                     double air_pressure, const plant::Reference& reference) {
    text = text::trim(text);
    if (text.size() > longest_text)
        return QuantityError{"the text is too long for a quantity", wanted_with_example(wanted)};
    const auto number = text::leading_number(text);
    if (number.state != text::NumberState::good) return number_error(number.state, text, wanted);
    if (wanted == Dimension::slope && !is_fraction_unit(number.rest)) return parse_slope(with_bars(text));
    if (wanted == Dimension::time && text.find(':') != text.npos) return parse_colons(text);
    if (wanted == Dimension::time) {
        if (const auto parts = time_parts(text); parts.size() > 1) return parse_parts(parts);
    }
    const auto read = look_up(number.rest, row_of(wanted).kind);
    if (!read) return unit_error(text, number.rest, wanted);
    if (!dimension_fits(*read, number.rest, wanted)) return dimension_error(text, *read, wanted);
    if (read->gauge && wanted == Dimension::absolute_pressure) return gauge_error(text, number.rest, wanted);
    const double value = in_si(number.value, *read, wanted, air_pressure, reference);
    if (!std::isfinite(value)) return number_error(text::NumberState::out_of_range, text, wanted);
    return Quantity{value, read->system, wanted == Dimension::pressure && !read->marked,
                    wanted == Dimension::pressure_difference && read->gauge, read->counted_at.has_value()};
}

std::variant<Quantity, QuantityError> parse_moment(std::string_view text, std::string_view start) {
    text = text::trim(text);
    const auto begin = text::parse_date(start);
    if (begin && text::parse_clock(text))
        return QuantityError{fmt::format("`{}` may be a time of day or the time since the start", text),
                             fmt::format("a date such as {}, or a time with its unit such as \"10 h\"",
                                         text::iso_date(*begin + 86400.0))};
    if (!text::looks_like_date(text)) return parse_quantity(text, Dimension::time, 0.0);
    const auto date = text::parse_date(text);
    if (!date)
        return QuantityError{fmt::format("`{}` is not a date and time", text),
                             "a local date such as 2026-03-04T08:00, without an offset"};
    if (!begin)
        return QuantityError{
            fmt::format("`{}` is a date, and the file does not say when the run starts", text),
            "give `start`, such as start = \"2026-03-02T08:00\", or a time from the start"};
    if (*date < *begin)
        return QuantityError{
            fmt::format("`{}` is before the start of the run, {}", text, text::date_text(*begin)),
            "a later date"};
    return in_seconds(*date - *begin);
}

double quantity(std::string_view text, Dimension wanted, double air_pressure,
                const plant::Reference& reference) {
    const auto parsed = parse_quantity(text, wanted, air_pressure, reference);
    if (const auto* found = std::get_if<Quantity>(&parsed)) return found->value;
    const auto& error = std::get<QuantityError>(parsed);
    throw InputError({Problem{"", std::string(text), error.what, error.allowed, "", 0}});
}

}  // namespace oxfade::scenario
