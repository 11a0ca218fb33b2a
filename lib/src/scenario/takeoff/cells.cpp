#include "scenario/takeoff/cells.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "oxfade/plant/pipe_sizes.hpp"
#include "scenario/readers.hpp"
#include "scenario/takeoff/columns.hpp"
#include "text/number.hpp"

namespace oxfade::scenario::detail {
namespace {

using text::trim;

/// Letters of several bytes, and what stands for them in numbers and units.
constexpr std::array<std::pair<std::string_view, std::string_view>, 24> letters{{
    {"\u00a0", " "},    {"\u2007", " "},    {"\u2009", " "},    {"\u202f", " "},    {"\u00bc", " 1/4"},
    {"\u00bd", " 1/2"}, {"\u00be", " 3/4"}, {"\u215b", " 1/8"}, {"\u215c", " 3/8"}, {"\u215d", " 5/8"},
    {"\u215e", " 7/8"}, {"\u2044", "/"},    {"\u2033", "\""},   {"\u201d", "\""},   {"\u201c", "\""},
    {"\u2032", "'"},    {"\u2019", "'"},    {"\u2018", "'"},    {"\u2013", "-"},    {"\u2014", "-"},
    {"\u2212", "-"},    {"\u2300", ""},     {"\u00d8", ""},     {"\u00f8", ""},
}};

bool is_figure(char c) { return c >= '0' && c <= '9'; }

/// The number at the front of a cell as it is written: sign, digits, points, commas, blanks between
/// thousands.
std::string_view number_of(std::string_view cell) {
    std::size_t end = !cell.empty() && (cell[0] == '-' || cell[0] == '+') ? 1 : 0;
    const auto figures = [&](std::size_t from) {
        std::size_t count = 0;
        while (from + count < cell.size() && is_figure(cell[from + count])) ++count;
        return count;
    };
    const std::size_t begin = end;
    end += figures(end);
    while (end > begin && end + 1 < cell.size()) {
        const bool blank = cell[end] == ' ' || cell[end] == '\'';
        const std::size_t more = figures(end + 1), after = end + 1 + more;
        const bool thousands = more == 3 && end - begin <= 15 && (after == cell.size() || cell[after] != '/');
        if (more == 0 || !(cell[end] == '.' || cell[end] == ',' || (blank && thousands))) break;
        if (cell[end] == '\'' && after < cell.size() && (cell[after] == '"' || cell[after] == '-')) break;
        end = after;
    }
    return cell.substr(0, end);
}

/// What a written number tells of itself.
struct Written {
    std::size_t commas = 0, points = 0;
    std::size_t last_comma = 0, last_point = 0;
    std::size_t before = 0, after = 0;  ///< figures before the first and after the last of these signs
    bool zero_first = false;

    explicit Written(std::string_view number) {
        for (std::size_t k = 0; k < number.size(); ++k) {
            if (number[k] == ',') last_comma = ++commas > 0 ? k : 0;
            if (number[k] == '.') last_point = ++points > 0 ? k : 0;
            const bool sign = number[k] == ',' || number[k] == '.';
            if (sign) after = 0;
            if (is_figure(number[k])) ++(commas + points == 0 ? before : after);
        }
        const auto first = number.find_first_of("0123456789");
        zero_first = first != std::string_view::npos && number[first] == '0' && before == 1;
    }

    /// A single sign before three figures, as between thousands.
    bool ambiguous() const { return commas + points == 1 && after == 3 && before <= 3 && !zero_first; }
};

/// Keeps digits and sign, and the one decimal sign as a point; none: there is no fraction.
std::string rewritten(std::string_view number, std::optional<std::size_t> decimal) {
    std::string text;
    for (std::size_t k = 0; k < number.size(); ++k) {
        if (is_figure(number[k]) || ((number[k] == '-' || number[k] == '+') && k == 0)) text += number[k];
        if (decimal == k) text += '.';
    }
    return text;
}

/// @param bare whether the unit may be left out
std::optional<double> leading_inches(std::string_view text, bool bare) {
    const auto inches = text::leading_number(text);
    if (inches.state != text::NumberState::good || inches.value < 0.0) return std::nullopt;
    const std::string unit = plain_unit(inches.rest);
    const bool fits = unit.empty() ? bare : unit == "in" || unit == "inch" || unit == "inches";
    return fits ? std::optional(inches.value) : std::nullopt;
}

/// `14'-6 1/2"`, `14 ft 6 in`: the whole in inches, whose number is exact.
std::optional<Measure> feet_and_inches(std::string_view cell) {
    const auto feet = text::leading_number(cell);
    if (feet.state != text::NumberState::good) return std::nullopt;
    const bool sign = feet.rest.starts_with('\'');
    const auto end = sign ? 1 : std::min(feet.rest.find_first_of(" -,"), feet.rest.size());
    if (!sign && plain_unit(feet.rest.substr(0, end)) != "ft" &&
        plain_unit(feet.rest.substr(0, end)) != "feet")
        return std::nullopt;
    std::string_view rest = trim(feet.rest.substr(end));
    if (rest.starts_with('-') || rest.starts_with(',')) rest = trim(rest.substr(1));
    const auto inches = leading_inches(rest, sign);
    if (!inches) return std::nullopt;
    const double all = std::copysign(std::abs(feet.value) * 12.0 + *inches, cell.front() == '-' ? -1.0 : 1.0);
    return Measure{all * 0.0254, fmt::format("{:.12g} in", all)};
}

}  // namespace

std::string plain_text(std::string_view cell) {
    std::string result;
    while (!cell.empty()) {
        const bool wide = cell.starts_with("\u00a0");
        const bool blank = wide || static_cast<unsigned char>(cell.front()) <= ' ' || cell.front() == '\x7f';
        if (!blank) {
            result += cell.front();
        } else if (!result.empty() && result.back() != ' ') {
            result += ' ';
        }
        cell.remove_prefix(wide ? 2 : 1);
    }
    return std::string(trim(result));
}

std::string plain_cell(std::string_view cell) {
    std::string result;
    while (!cell.empty()) {
        const auto letter = std::find_if(letters.begin(), letters.end(),
                                         [&](const auto& entry) { return cell.starts_with(entry.first); });
        const bool known = letter != letters.end();
        result += known ? letter->second : cell.substr(0, 1);
        cell.remove_prefix(known ? letter->first.size() : 1);
    }
    return plain_text(result);
}

void NumberStyle::learn(std::string_view cell) {
    const Written number(number_of(cell));
    if (number.commas + number.points == 0 || number.ambiguous()) return;
    if (number.commas > 0 && number.points > 0) {
        (number.last_comma > number.last_point ? comma : point) = true;
    } else if (number.commas == 1) {
        comma = true;
    } else if (number.points == 1) {
        point = true;
    }
}

std::variant<std::string, QuantityError> plain_number(std::string_view cell, NumberStyle style) {
    const std::string_view number = number_of(cell);
    const Written written(number);
    const std::string rest(cell.substr(number.size()));
    if (written.ambiguous()) {
        const bool comma = written.commas == 1;
        const bool decimal = comma ? style.comma && !style.point : !style.comma;
        const bool thousands = comma ? style.point && !style.comma : false;
        if (!decimal && !thousands) {
            return QuantityError{fmt::format("`{}` may be {} or {}", number, rewritten(number, std::nullopt),
                                             rewritten(number, number.find_first_of(",."))),
                                 "write one decimal sign throughout the file, and nothing between thousands"};
        }
        return rewritten(number, decimal ? std::optional(number.find_first_of(",.")) : std::nullopt) + rest;
    }
    std::optional<std::size_t> decimal;
    if (written.commas > 0 && (written.points == 0 || written.last_comma > written.last_point) &&
        written.commas == 1)
        decimal = written.last_comma;
    if (written.points > 0 && (written.commas == 0 || written.last_point > written.last_comma) &&
        written.points == 1)
        decimal = written.last_point;
    return rewritten(number, decimal) + rest;
}

std::variant<Measure, QuantityError> read_measure(std::string_view cell, const std::string& unit,
                                                  Dimension dimension) {
    if (dimension == Dimension::length) {
        if (auto measure = feet_and_inches(cell)) return std::move(*measure);
    }
    const auto number = text::leading_number(cell);
    std::string text(trim(cell));
    if (number.state == text::NumberState::good) {
        const std::string_view figures =
            trim(std::string_view(text).substr(0, text.size() - number.rest.size()));
        const bool has_unit = !number.rest.empty();
        if (!has_unit && unit.empty()) {
            return QuantityError{fmt::format("`{}` has no unit", text),
                                 fmt::format("write it in the heading, such as [{}], or in the cell",
                                             dimension == Dimension::volume  ? "gal"
                                             : dimension == Dimension::slope ? "%"
                                                                             : "ft")};
        }
        text = fmt::format("{} {}", figures, has_unit ? plain_unit(number.rest) : unit);
    }
    const auto parsed = parse_quantity(text, dimension, 0.0);
    if (const auto* error = std::get_if<QuantityError>(&parsed)) return *error;
    return Measure{std::get<Quantity>(parsed).value, text};
}

std::variant<std::string, QuantityError> read_size(std::string_view cell, const std::string& unit) {
    std::string text = lower_case(trim(cell));
    const QuantityError unknown{
        "is not a nominal pipe size known here",
        fmt::format("in inches: {}; or as DN, such as DN32; or give the inside diameter in a "
                    "column of that name",
                    known_nominal_sizes())};
    bool dn = false;
    for (const std::string_view mark : {"dn", "nps"}) {
        if (!text.starts_with(mark)) continue;
        dn = mark == "dn";
        text = trim(std::string_view(text).substr(mark.size()));
    }
    const auto number = text::leading_number(text);
    if (number.state != text::NumberState::good) return unknown;
    std::string of = number.rest.empty() ? unit : plain_unit(number.rest);
    const std::string figures(trim(std::string_view(text).substr(0, text.size() - number.rest.size())));
    constexpr double largest_in_inches = 12.0;  // DN begin at 15: no number is both
    dn = dn || of == "dn" || of.starts_with("mm") || of.starts_with("milli") ||
         (of.empty() && number.value > largest_in_inches);
    const std::string nominal = dn ? fmt::format("DN{}", number.value) : figures + " in";
    const bool unit_fits = of.empty() || dn || of == "in" || of == "inch" || of == "inches" || of == "nps";
    if (!unit_fits || plant::schedules_of(nominal).empty()) return unknown;
    return nominal;
}

std::string read_schedule(std::string_view cell) {
    const std::string text = lower_case(trim(cell));
    const auto at = text.find("sch");
    if (at == std::string::npos) return text;
    const auto begin = text.find_first_of("0123456789", at);
    if (begin == std::string::npos) return text;
    const auto end = text.find_first_not_of("0123456789", begin);
    return text.substr(begin, end == std::string::npos ? end : end - begin);
}

std::optional<bool> read_mark(std::string_view cell) {
    const std::string text = lower_case(trim(cell));
    for (const std::string_view word : {"yes", "y", "x", "true", "1", "\u2713", "\u2714"}) {
        if (text == word) return true;
    }
    for (const std::string_view word : {"", "no", "n", "false", "0", "-", "none"}) {
        if (text == word) return false;
    }
    return std::nullopt;
}

}  // namespace oxfade::scenario::detail
