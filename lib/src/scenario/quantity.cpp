#include "oxfade/scenario/quantity.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <vector>

#include "oxfade/error.hpp"
#include "scenario/udunits.hpp"
#include "scenario/unit_text.hpp"
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
};

std::optional<ReadUnit> look_up_plain(std::string_view text) {
    const auto translated = detail::translate_unit(text);
    if (!translated) return std::nullopt;
    const auto unit = detail::find_unit(translated->udunits);
    if (!unit) return std::nullopt;
    return ReadUnit{*unit, translated->system};
}

/// A pressure unit with a trailing `g` (gauge) or `a` (absolute).
std::optional<ReadUnit> look_up_marked(std::string_view text) {
    if (text.size() < 2 || (text.back() != 'g' && text.back() != 'a')) return std::nullopt;
    auto read = look_up_plain(text.substr(0, text.size() - 1));
    if (!read || read->unit.kind != Kind::pressure) return std::nullopt;
    read->gauge = text.back() == 'g';
    read->marked = true;
    return read;
}

/// The unit as it stands; with its mark where it is no unit, or not the pressure wanted.
std::optional<ReadUnit> look_up(std::string_view text, Kind wanted) {
    auto plain = look_up_plain(text);
    if (plain && plain->unit.kind == Kind::pressure) plain->marked = text.back() == 'a' && text != "Pa";
    if (plain && (wanted != Kind::pressure || plain->unit.kind == Kind::pressure)) return plain;
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

QuantityError dimension_error(std::string_view text, std::string_view unit, const ReadUnit& read,
                              Dimension wanted) {
    const auto what =
        fmt::format("{} is wanted, `{}` is {}", to_string(wanted), text, to_string(read.unit.kind));
    // UDUNITS takes `20 C` for coulomb and `20 F` for farad.
    const bool degrees = row_of(wanted).kind == Kind::temperature && (unit == "C" || unit == "F");
    if (degrees) return {what, fmt::format("write deg{} for degrees", unit)};
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

double in_si(double number, const ReadUnit& read, Dimension wanted, double air_pressure) {
    const bool counts_from_zero = wanted == Dimension::temperature;
    const double value = number * read.unit.scale + (counts_from_zero ? read.unit.offset : 0.0);
    return read.gauge ? value + air_pressure : value;
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
                                                     double air_pressure) {
    text = text::trim(text);
    if (text.size() > longest_text)
        return QuantityError{"the text is too long for a quantity", wanted_with_example(wanted)};
    const auto number = text::leading_number(text);
    if (number.state != text::NumberState::good) return number_error(number.state, text, wanted);
    if (wanted == Dimension::slope && !is_fraction_unit(number.rest)) return parse_slope(text);
    const auto read = look_up(number.rest, row_of(wanted).kind);
    if (!read) return unit_error(text, number.rest, wanted);
    if (!dimension_fits(*read, number.rest, wanted)) return dimension_error(text, number.rest, *read, wanted);
    if (read->gauge && wanted != Dimension::pressure) return gauge_error(text, number.rest, wanted);
    const double value = in_si(number.value, *read, wanted, air_pressure);
    if (!std::isfinite(value)) return number_error(text::NumberState::out_of_range, text, wanted);
    return Quantity{value, read->system, wanted == Dimension::pressure && !read->marked};
}

double quantity(std::string_view text, Dimension wanted, double air_pressure) {
    const auto parsed = parse_quantity(text, wanted, air_pressure);
    if (const auto* found = std::get_if<Quantity>(&parsed)) return found->value;
    const auto& error = std::get<QuantityError>(parsed);
    throw InputError({Problem{"", std::string(text), error.what, error.allowed, "", 0}});
}

}  // namespace oxfade::scenario
