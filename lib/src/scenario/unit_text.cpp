#include "scenario/unit_text.hpp"

#include <algorithm>
#include <array>
#include <cstddef>
#include <utility>

#include "oxfade/gas/constants.hpp"

namespace oxfade::scenario::detail {
namespace {

constexpr std::size_t longest_unit = 40;  // keeps hostile text away from the UDUNITS parser

/// The US gallon is 231 cubic inches by definition; UDUNITS rounds its own to seven digits.
/// Inches and feet of water are the conventional ones of NIST SP 811 (9806.65 Pa a metre).
constexpr std::array<std::pair<std::string_view, std::string_view>, 17> trade_names{{
    {"gal", "(231 in^3)"},
    {"gallon", "(231 in^3)"},
    {"gallons", "(231 in^3)"},
    {"psia", "psi"},
    {"cfm", "(ft^3/min)"},
    {"cfh", "(ft^3/h)"},
    {"scf", "(ft^3)"},
    {"scfm", "(ft^3/min)"},
    {"scfh", "(ft^3/h)"},
    {"gpm", "(231 in^3/min)"},
    {"lpm", "(L/min)"},
    {"mil", "(0.001 in)"},
    {"osi", "(0.0625 psi)"},
    {"inWC", "(249.08891 Pa)"},
    {"ftWC", "(2989.06692 Pa)"},
    {"mmWC", "(9.80665 Pa)"},
    {"cmWC", "(98.0665 Pa)"},
}};

/// Standard volumes that say in their name at which conditions they are counted (quantity.hpp).
struct StandardName {
    std::string_view name, udunits;
    plant::Reference counted_at;
};
const std::array<StandardName, 9>& standard_names() {
    static const std::array<StandardName, 9> names{{
        {"Nm", "m", normal_conditions},
        {"NL", "L", normal_conditions},
        {"Nl", "L", normal_conditions},
        {"NLPM", "(L/min)", normal_conditions},
        {"Sm", "m", metric_standard_conditions},
        {"sL", "L", normal_conditions},
        {"slpm", "(L/min)", normal_conditions},
        {"slm", "(L/min)", normal_conditions},
        {"sccm", "(cm^3/min)", normal_conditions},
    }};
    return names;
}

constexpr std::array<std::string_view, 30> us_names{
    "in",    "inch",   "inches",  "ft",  "foot", "feet", "yd",  "yard", "mi",   "mile",
    "gal",   "gallon", "gallons", "psi", "psia", "cfm",  "cfh", "scfm", "scfh", "inHg",
    "in_Hg", "degF",   "hp",      "lb",  "scf",  "gpm",  "mil", "osi",  "inWC", "ftWC"};

constexpr std::array<std::string_view, 28> neutral_names{
    "s",   "sec",  "second", "seconds", "ms",      "min",  "minute", "minutes", "h",     "hr",
    "hrs", "hour", "hours",  "d",       "day",     "days", "week",   "weeks",   "month", "months",
    "yr",  "year", "years",  "%",       "percent", "ppm",  "mol",    "kmol"};

/// Letters of several bytes that units are written with.
constexpr std::array<std::string_view, 6> signs{"\u00b0", "\u00b5", "\u03bc", "\u00b2", "\u00b3", "\u00b7"};

template <std::size_t n>
bool contains(const std::array<std::string_view, n>& names, std::string_view name) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_' || c == '%'; }
bool is_digit(char c) { return c >= '0' && c <= '9'; }

/// Length of a sign of several bytes at the front of a text, else 0.
std::size_t sign_length(std::string_view text) {
    for (const std::string_view sign : signs) {
        if (text.substr(0, sign.size()) == sign) return sign.size();
    }
    return 0;
}

class Translator {
  public:
    /// False when the text cannot be a unit.
    bool run(std::string_view unit) {
        while (!unit.empty()) {
            const std::size_t taken = take(unit);
            if (taken == 0) return false;
            unit.remove_prefix(taken);
        }
        return true;
    }
    UnitText result() && { return std::move(result_); }

  private:
    std::size_t take(std::string_view unit) {
        if (is_letter(unit.front())) return take_name(unit);
        if (const std::size_t length = sign_length(unit)) return take_sign(unit.substr(0, length));
        return take_character(unit);
    }

    std::size_t take_name(std::string_view unit) {
        const auto end = std::find_if_not(unit.begin(), unit.end(), is_letter);
        const auto name = unit.substr(0, static_cast<std::size_t>(end - unit.begin()));
        const auto trade = std::find_if(trade_names.begin(), trade_names.end(),
                                        [&](const auto& entry) { return entry.first == name; });
        const auto standard = std::find_if(standard_names().begin(), standard_names().end(),
                                           [&](const auto& entry) { return entry.name == name; });
        if (standard != standard_names().end()) {
            result_.counted_at = standard->counted_at;
            result_.udunits += standard->udunits;
        } else {
            result_.udunits += trade == trade_names.end() ? name : trade->second;
        }
        note_family(name);
        exponent_may_follow_ = true;
        return name.size();
    }

    std::size_t take_sign(std::string_view sign) {
        result_.udunits += sign;
        exponent_may_follow_ = false;
        return sign.size();
    }

    /// An operator, or a digit where an exponent may stand.
    std::size_t take_character(std::string_view unit) {
        const char c = unit.front();
        if (is_digit(c)) {
            if (!exponent_may_follow_) return 0;
            exponent_may_follow_ = false;
        } else if (c == '-' || c == '+') {
            if (!exponent_may_follow_) return 0;
        } else if (c == '^') {
            exponent_may_follow_ = true;
        } else if (c == '/' || c == '*' || c == '.' || c == ' ') {
            exponent_may_follow_ = false;
        } else {
            return 0;
        }
        result_.udunits += c;
        return 1;
    }

    void note_family(std::string_view name) {
        if (contains(us_names, name)) {
            result_.system = UnitSystem::us;
        } else if (!contains(neutral_names, name) && !result_.system) {
            result_.system = UnitSystem::si;
        }
    }

    UnitText result_;
    bool exponent_may_follow_ = false;
};

}  // namespace

std::optional<UnitText> translate_unit(std::string_view unit) {
    if (unit == "\"") return UnitText{"in", UnitSystem::us, {}};
    if (unit == "'") return UnitText{"ft", UnitSystem::us, {}};
    if (unit == "\u00b0F") return UnitText{"degF", UnitSystem::us, {}};
    if (unit.empty() || unit.size() > longest_unit) return std::nullopt;
    Translator translator;
    if (!translator.run(unit)) return std::nullopt;
    return std::move(translator).result();
}

}  // namespace oxfade::scenario::detail
