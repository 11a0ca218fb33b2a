#include <array>
#include <cstddef>
#include <string>

#include "scenario/unit_text.hpp"
#include "text/letters.hpp"

namespace oxfade::scenario::detail {
namespace {

constexpr std::size_t longest_spelling = 40;

/// A unit as people write it, in small letters, and as translate_unit takes it.
struct Spelling {
    Kind kind;
    std::string_view written, unit;
};
constexpr std::array<Spelling, 189> spellings{{
    {Kind::length, "in", "in"},
    {Kind::length, "inch", "in"},
    {Kind::length, "inches", "in"},
    {Kind::length, "ft", "ft"},
    {Kind::length, "foot", "ft"},
    {Kind::length, "feet", "ft"},
    {Kind::length, "mm", "mm"},
    {Kind::length, "cm", "cm"},
    {Kind::length, "mil", "mil"},
    {Kind::length, "mils", "mil"},
    {Kind::length, "thou", "mil"},
    {Kind::length, "thousandth", "mil"},
    {Kind::length, "thousandths", "mil"},
    {Kind::length, "thousandth in", "mil"},
    {Kind::length, "thousandths in", "mil"},
    {Kind::length, "thousandth of an inch", "mil"},
    {Kind::length, "thousandths of an inch", "mil"},
    {Kind::volume, "gal", "gal"},
    {Kind::volume, "gals", "gal"},
    {Kind::volume, "gallon", "gal"},
    {Kind::volume, "gallons", "gal"},
    {Kind::volume, "us gal", "gal"},
    {Kind::volume, "us gallon", "gal"},
    {Kind::volume, "us gallons", "gal"},
    {Kind::volume, "ft3", "ft3"},
    {Kind::volume, "cu ft", "ft3"},
    {Kind::volume, "cuft", "ft3"},
    {Kind::volume, "cubic ft", "ft3"},
    {Kind::volume, "cubic foot", "ft3"},
    {Kind::volume, "cubic feet", "ft3"},
    {Kind::volume, "cf", "ft3"},
    {Kind::volume, "cu m", "m3"},
    {Kind::volume, "cubic metre", "m3"},
    {Kind::volume, "cubic metres", "m3"},
    {Kind::volume, "cubic meter", "m3"},
    {Kind::volume, "cubic meters", "m3"},
    {Kind::volume, "liters", "L"},
    {Kind::volume, "litres", "L"},
    {Kind::volume, "liter", "L"},
    {Kind::volume, "litre", "L"},
    {Kind::volume, "ltr", "L"},
    {Kind::volume, "scf", "scf"},
    {Kind::volume, "nm3", "Nm3"},
    {Kind::volume, "sm3", "Sm3"},
    {Kind::volume, "nl", "NL"},
    {Kind::time, "sec", "s"},
    {Kind::time, "secs", "s"},
    {Kind::time, "second", "s"},
    {Kind::time, "seconds", "s"},
    {Kind::time, "min", "min"},
    {Kind::time, "mins", "min"},
    {Kind::time, "minute", "min"},
    {Kind::time, "minutes", "min"},
    {Kind::time, "hr", "h"},
    {Kind::time, "hrs", "h"},
    {Kind::time, "hour", "h"},
    {Kind::time, "hours", "h"},
    {Kind::time, "day", "d"},
    {Kind::time, "days", "d"},
    {Kind::time, "wk", "week"},
    {Kind::time, "wks", "week"},
    {Kind::time, "week", "week"},
    {Kind::time, "weeks", "week"},
    {Kind::time, "mo", "month"},
    {Kind::time, "mos", "month"},
    {Kind::time, "month", "month"},
    {Kind::time, "months", "month"},
    {Kind::time, "yr", "year"},
    {Kind::time, "yrs", "year"},
    {Kind::time, "year", "year"},
    {Kind::time, "years", "year"},
    {Kind::pressure, "psi", "psi"},
    {Kind::pressure, "psia", "psia"},
    {Kind::pressure, "lb/in2", "psi"},
    {Kind::pressure, "lbf/in2", "psi"},
    {Kind::pressure, "lbs/in2", "psi"},
    {Kind::pressure, "lb/sq in", "psi"},
    {Kind::pressure, "kpa", "kPa"},
    {Kind::pressure, "mpa", "MPa"},
    {Kind::pressure, "bar", "bar"},
    {Kind::pressure, "bars", "bar"},
    {Kind::pressure, "mbar", "mbar"},
    {Kind::pressure, "inhg", "inHg"},
    {Kind::pressure, "in hg", "inHg"},
    {Kind::pressure, "inches hg", "inHg"},
    {Kind::pressure, "inches of mercury", "inHg"},
    {Kind::pressure, "\"hg", "inHg"},
    {Kind::pressure, "\" hg", "inHg"},
    {Kind::pressure, "osi", "osi"},
    {Kind::pressure, "oz", "osi"},
    {Kind::pressure, "ozs", "osi"},
    {Kind::pressure, "ounce", "osi"},
    {Kind::pressure, "ounces", "osi"},
    {Kind::pressure, "oz/in2", "osi"},
    {Kind::pressure, "ozf/in2", "osi"},
    {Kind::pressure, "oz/sq in", "osi"},
    {Kind::pressure, "ounces/sq in", "osi"},
    {Kind::pressure, "ounces per square inch", "osi"},
    {Kind::pressure, "oz per sq in", "osi"},
    {Kind::pressure, "oz/square inch", "osi"},
    {Kind::pressure, "inwc", "inWC"},
    {Kind::pressure, "in wc", "inWC"},
    {Kind::pressure, "inh2o", "inWC"},
    {Kind::pressure, "in h2o", "inWC"},
    {Kind::pressure, "inches wc", "inWC"},
    {Kind::pressure, "inches h2o", "inWC"},
    {Kind::pressure, "inch of water", "inWC"},
    {Kind::pressure, "inches of water", "inWC"},
    {Kind::pressure, "inches of water column", "inWC"},
    {Kind::pressure, "in of water", "inWC"},
    {Kind::pressure, "in water", "inWC"},
    {Kind::pressure, "\"wc", "inWC"},
    {Kind::pressure, "\" wc", "inWC"},
    {Kind::pressure, "\"h2o", "inWC"},
    {Kind::pressure, "\" h2o", "inWC"},
    {Kind::pressure, "iwc", "inWC"},
    {Kind::pressure, "ftwc", "ftWC"},
    {Kind::pressure, "ft wc", "ftWC"},
    {Kind::pressure, "fth2o", "ftWC"},
    {Kind::pressure, "ft h2o", "ftWC"},
    {Kind::pressure, "foot of water", "ftWC"},
    {Kind::pressure, "feet of water", "ftWC"},
    {Kind::pressure, "feet of head", "ftWC"},
    {Kind::pressure, "ft of water", "ftWC"},
    {Kind::pressure, "ft water", "ftWC"},
    {Kind::pressure, "ft head", "ftWC"},
    {Kind::pressure, "'wc", "ftWC"},
    {Kind::pressure, "'h2o", "ftWC"},
    {Kind::pressure, "mmwc", "mmWC"},
    {Kind::pressure, "mm wc", "mmWC"},
    {Kind::pressure, "mmh2o", "mmWC"},
    {Kind::pressure, "mm h2o", "mmWC"},
    {Kind::pressure, "mm of water", "mmWC"},
    {Kind::pressure, "cmh2o", "cmWC"},
    {Kind::pressure, "cm h2o", "cmWC"},
    {Kind::pressure, "cm of water", "cmWC"},
    {Kind::temperature, "f", "degF"},
    {Kind::temperature, "deg f", "degF"},
    {Kind::temperature, "degf", "degF"},
    {Kind::temperature, "degrees f", "degF"},
    {Kind::temperature, "fahrenheit", "degF"},
    {Kind::temperature, "degrees fahrenheit", "degF"},
    {Kind::temperature, "\u2109", "degF"},
    {Kind::temperature, "c", "degC"},
    {Kind::temperature, "deg c", "degC"},
    {Kind::temperature, "degc", "degC"},
    {Kind::temperature, "degrees c", "degC"},
    {Kind::temperature, "celsius", "degC"},
    {Kind::temperature, "degrees celsius", "degC"},
    {Kind::temperature, "\u2103", "degC"},
    {Kind::temperature, "deg k", "K"},
    {Kind::volume_flow, "cfm", "cfm"},
    {Kind::volume_flow, "ft3/min", "cfm"},
    {Kind::volume_flow, "cu ft/min", "cfm"},
    {Kind::volume_flow, "cuft/min", "cfm"},
    {Kind::volume_flow, "cubic feet per minute", "cfm"},
    {Kind::volume_flow, "cfh", "cfh"},
    {Kind::volume_flow, "ft3/h", "cfh"},
    {Kind::volume_flow, "ft3/hr", "cfh"},
    {Kind::volume_flow, "cu ft/h", "cfh"},
    {Kind::volume_flow, "cu ft/hr", "cfh"},
    {Kind::volume_flow, "cuft/h", "cfh"},
    {Kind::volume_flow, "cuft/hr", "cfh"},
    {Kind::volume_flow, "cubic feet per hour", "cfh"},
    {Kind::volume_flow, "scfm", "scfm"},
    {Kind::volume_flow, "scfh", "scfh"},
    {Kind::volume_flow, "gpm", "gpm"},
    {Kind::volume_flow, "lpm", "lpm"},
    {Kind::volume_flow, "l/min", "lpm"},
    {Kind::volume_flow, "ltr/min", "lpm"},
    {Kind::volume_flow, "slpm", "slpm"},
    {Kind::volume_flow, "slm", "slm"},
    {Kind::volume_flow, "sl/min", "sL/min"},
    {Kind::volume_flow, "sccm", "sccm"},
    {Kind::volume_flow, "scf/min", "scf/min"},
    {Kind::volume_flow, "scf/h", "scf/h"},
    {Kind::volume_flow, "scf/hr", "scf/h"},
    {Kind::volume_flow, "m3/hr", "m3/h"},
    {Kind::volume_flow, "cu m/h", "m3/h"},
    {Kind::volume_flow, "nm3/h", "Nm3/h"},
    {Kind::volume_flow, "nm3/hr", "Nm3/h"},
    {Kind::volume_flow, "nm3/min", "Nm3/min"},
    {Kind::volume_flow, "sm3/h", "Sm3/h"},
    {Kind::volume_flow, "sm3/hr", "Sm3/h"},
    {Kind::volume_flow, "sm3/min", "Sm3/min"},
    {Kind::volume_flow, "nl/h", "NL/h"},
    {Kind::volume_flow, "nl/hr", "NL/h"},
    {Kind::volume_flow, "nl/min", "NL/min"},
    {Kind::volume_flow, "nlpm", "NLPM"},
}};

void replace_all(std::string& text, std::string_view from, std::string_view to) {
    for (auto at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size())) {
        text.replace(at, from.size(), to);
    }
}

/// Small letters, no full stops and carets, one blank between words, `3` for a raised 3, `deg` for its sign.
std::string plain_spelling(std::string_view unit) {
    std::string plain;
    for (const char c : unit) {
        const bool blank = c == ' ' || c == '\t' || c == '_';
        if (c == '.' || c == '^' || (blank && !plain.empty() && plain.back() == ' ')) continue;
        plain += blank ? ' ' : text::lower(c);
    }
    replace_all(plain, "\u00b2", "2");
    replace_all(plain, "\u00b3", "3");
    replace_all(plain, "\u00b0", "deg ");
    replace_all(plain, "\u00ba", "deg ");  // the ordinal sign, which looks the same
    replace_all(plain, "deg  ", "deg ");
    replace_all(plain, " / ", "/");
    while (!plain.empty() && plain.back() == ' ') plain.pop_back();
    return plain;
}

}  // namespace

std::optional<std::string> other_spelling(std::string_view unit, Kind wanted) {
    if (unit.empty() || unit.size() > longest_spelling) return std::nullopt;
    const std::string plain = plain_spelling(unit);
    for (const Spelling& spelling : spellings) {
        if (spelling.kind == wanted && spelling.written == plain) return std::string(spelling.unit);
    }
    return std::nullopt;
}

}  // namespace oxfade::scenario::detail
