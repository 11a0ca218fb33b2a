#include "scenario/takeoff/columns.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include "oxfade/scenario/quantity.hpp"
#include "text/letters.hpp"
#include "text/nearest.hpp"
#include "text/number.hpp"

namespace oxfade::scenario::detail {
namespace {

struct ColumnWords {
    Column column;
    std::vector<std::string_view> words;  ///< headings, in small letters; the first is its name
};

const std::vector<ColumnWords>& column_words() {
    static const std::vector<ColumnWords> table{
        {Column::system,
         {"system", "system name", "system no", "system number", "sprinkler system", "dry system"}},
        {Column::name,
         {"name", "pipe", "pipe name", "pipe no", "pipe number", "pipe id", "pipe mark", "pipe tag", "mark",
          "tag", "label", "id", "no"}},
        {Column::from,
         {"from", "from pipe", "hangs on", "leaves", "branches off", "connected to", "connects to",
          "upstream", "upstream pipe", "parent", "along", "main"}},
        {Column::kind, {"kind", "use", "part", "part of system", "function", "kind of pipe", "pipe kind"}},
        {Column::size,
         {"size", "nominal", "nominal size", "nominal diameter", "nominal pipe size", "pipe size", "diameter",
          "dn", "nps", "dia"}},
        {Column::bore,
         {"inside diameter", "bore", "internal diameter", "inner diameter", "inside dia", "inside bore"}},
        {Column::schedule,
         {"schedule", "type", "pipe type", "type of pipe", "pipe schedule", "wall", "sch", "material"}},
        {Column::length, {"length", "pipe length", "total length", "run", "len", "l"}},
        {Column::count,
         {"count", "number", "quantity", "qty", "number of pipes", "no of pipes", "pieces", "pcs",
          "number of lines", "no of lines", "branch lines"}},
        {Column::spacing,
         {"spacing", "branch line spacing", "line spacing", "branch spacing", "spacing of lines"}},
        {Column::first, {"first", "first tap", "first line", "first at", "distance to first"}},
        {Column::sides, {"sides", "side", "on sides"}},
        {Column::position, {"position", "orientation", "runs"}},
        {Column::pitch, {"pitch", "slope"}},
        {Column::x1, {"x1"}},
        {Column::y1, {"y1"}},
        {Column::z1, {"elevation from", "z1"}},
        {Column::x2, {"x2"}},
        {Column::y2, {"y2"}},
        {Column::z2, {"elevation to", "z2"}},
        {Column::vent,
         {"vent", "vent orifice", "vent hole", "air vent", "purge vent", "vents", "vent diameter"}},
        {Column::sample,
         {"sampling point", "sample", "sample point", "sampling", "sampling points", "analyser", "analyzer"}},
        {Column::low_point,
         {"low point", "drain", "drains", "auxiliary drain", "low points", "low point drain", "trapped water",
          "drain low point", "water"}},
        {Column::rise, {"rise", "water rise"}},
        {Column::remark,
         {"remark", "remarks", "comment", "comments", "note", "notes", "description", "drawing", "sheet",
          "level", "location", "area"}},
    };
    return table;
}

/// Words that drawing programs also use for something else.
bool is_weak(std::string_view words) {
    for (const std::string_view word :
         {"id", "no", "tag", "label", "pipe id", "type", "pipe type", "type of pipe", "material"}) {
        if (words == word) return true;
    }
    return false;
}

constexpr std::array<std::pair<std::string_view, int>, 7> axis_words{
    {{"x", 0}, {"y", 1}, {"z", 2}, {"elevation", 2}, {"elev", 2}, {"height", 2}, {"el", 2}}};
constexpr std::array<std::pair<std::string_view, int>, 14> end_words{{{"1", 0},
                                                                      {"start", 0},
                                                                      {"from", 0},
                                                                      {"near", 0},
                                                                      {"begin", 0},
                                                                      {"a", 0},
                                                                      {"first", 0},
                                                                      {"2", 1},
                                                                      {"end", 1},
                                                                      {"to", 1},
                                                                      {"far", 1},
                                                                      {"b", 1},
                                                                      {"finish", 1},
                                                                      {"second", 1}}};

std::vector<std::string> words_of(std::string_view text) {
    std::vector<std::string> words;
    std::string word;
    for (const char c : std::string(text) + ' ') {
        const bool parts = static_cast<unsigned char>(c) <= ' ' ||
                           std::string_view("_-./:#,").find(c) != std::string_view::npos;
        if (!parts) {
            word += text::lower(c);
        } else if (!word.empty()) {
            words.push_back(std::exchange(word, {}));
        }
    }
    return words;
}

std::string joined(const std::vector<std::string>& words) {
    std::string text;
    for (const std::string& word : words) text += (text.empty() ? "" : " ") + word;
    return text;
}

template <class Table>
std::optional<int> find_word(const Table& table, std::string_view word) {
    const auto found =
        std::find_if(table.begin(), table.end(), [&](const auto& entry) { return entry.first == word; });
    return found == table.end() ? std::nullopt : std::optional(found->second);
}

/// `x1`, `z end`, `start elevation`, `elevation from`.
std::optional<Column> coordinate(std::vector<std::string> words) {
    std::erase_if(words, [](const std::string& word) { return word == "point" || word == "coordinate"; });
    if (words.size() == 1 && words[0].size() > 1) {  // x1, elev2
        const std::string word = words[0];
        words = {word.substr(0, word.size() - 1), word.substr(word.size() - 1)};
    }
    if (words.size() != 2) return std::nullopt;
    for (const bool turned : {false, true}) {
        const auto axis = find_word(axis_words, words[turned ? 1 : 0]),
                   end = find_word(end_words, words[turned ? 0 : 1]);
        if (axis && end) return static_cast<Column>(static_cast<int>(Column::x1) + 3 * *end + *axis);
    }
    return std::nullopt;
}

std::optional<Column> column_of(const std::vector<std::string>& words) {
    const std::string text = joined(words);
    for (const ColumnWords& entry : column_words()) {
        if (std::find(entry.words.begin(), entry.words.end(), text) != entry.words.end()) return entry.column;
    }
    return coordinate(words);
}

bool is_unit_of(Column column, const std::string& unit) {
    const auto dimension = column == Column::size ? plant::Dimension::length : dimension_of(column);
    if (unit.empty() || !dimension) return false;
    return std::holds_alternative<Quantity>(parse_quantity("1 " + unit, *dimension, 0.0));
}

/// A unit that fits the column, in its plain form; empty for other text.
std::string unit_for(Column column, std::string_view text) {
    std::string unit = plain_unit(text);
    return is_unit_of(column, unit) ? unit : std::string();
}

/// Takes `[ft]` or `(ft)` off a heading.
std::string take_bracket(std::string& heading) {
    const auto open = heading.find_first_of("[(");
    if (open == std::string::npos) return "";
    const auto close = heading.find_first_of("])", open);
    const std::string inside =
        heading.substr(open + 1, close == std::string::npos ? close : close - open - 1);
    heading.erase(open, close == std::string::npos ? close : close - open + 1);
    return inside;
}

}  // namespace

std::string plain_unit(std::string_view text) {
    std::string unit(text::trim(text));
    for (const std::string_view sign : {"\u2033", "\u201d", "\u201c", "''"}) {
        if (unit == sign) return "in";
    }
    if (unit == "\"") return "in";
    for (const std::string_view sign : {"'", "\u2032", "\u2019", "\u2018"}) {
        if (unit == sign) return "ft";
    }
    while (!unit.empty() && unit.back() == '.') unit.pop_back();
    const std::string lower = text::lower_case(unit);
    for (const std::string_view word :
         {"ft", "feet", "foot", "in", "inch", "inches", "mm", "cm", "m", "meter", "meters", "metre", "metres",
          "millimeter", "millimeters", "millimetre", "millimetres"}) {
        if (lower == word) return lower;
    }
    if (lower == "gallon" || lower == "gallons" || lower == "gal" || lower == "ml") return lower;
    if (lower == "l" || lower == "liter" || lower == "liters" || lower == "litre" || lower == "litres")
        return "L";
    return unit;
}

std::optional<Heading> read_heading(std::string_view heading) {
    std::string text(heading.substr(0, 200));
    const std::string bracket = take_bracket(text);
    std::vector<std::string> words = words_of(text);
    if (words.empty()) return std::nullopt;
    if (joined(words) == "id" && !unit_for(Column::bore, bracket).empty())
        return Heading{Column::bore, unit_for(Column::bore, bracket), false};
    if (const auto column = column_of(words))
        return Heading{*column, unit_for(*column, bracket), is_weak(joined(words))};
    if (words.size() < 2) return std::nullopt;
    const std::string last = words.back();
    words.pop_back();
    const auto column = column_of(words);
    const std::string unit = column ? unit_for(*column, last) : "";
    return unit.empty() ? std::nullopt : std::optional(Heading{*column, unit, false});
}

std::string_view name_of(Column column) {
    const auto& table = column_words();
    const auto found = std::find_if(table.begin(), table.end(),
                                    [&](const ColumnWords& entry) { return entry.column == column; });
    return found->words.front();
}

std::optional<plant::Dimension> dimension_of(Column column) {
    using plant::Dimension;
    switch (column) {
        case Column::bore:
        case Column::length:
        case Column::spacing:
        case Column::first:
        case Column::x1:
        case Column::y1:
        case Column::z1:
        case Column::x2:
        case Column::y2:
        case Column::z2:
        case Column::vent:
        case Column::rise:
            return Dimension::length;
        case Column::pitch:
            return Dimension::slope;
        case Column::low_point:
            return Dimension::volume;
        default:
            return std::nullopt;
    }
}

std::optional<std::string> nearly_heading(std::string_view heading) {
    std::string text(heading.substr(0, 200));
    (void)take_bracket(text);
    const std::string said = joined(words_of(text));
    if (said.size() < 4) return std::nullopt;
    for (const ColumnWords& entry : column_words()) {
        for (const std::string_view word : entry.words) {
            const bool close =
                word.size() > 3 && text::edit_distance(said, word) <= (word.size() > 5 ? 2U : 1U);
            if (close && entry.column != Column::remark) return std::string(word);
        }
    }
    return std::nullopt;
}

std::string known_columns() {
    std::string text;
    for (const ColumnWords& entry : column_words()) {
        if (entry.column != Column::remark)
            text += (text.empty() ? "" : ", ") + std::string(entry.words.front());
    }
    return text;
}

}  // namespace oxfade::scenario::detail
