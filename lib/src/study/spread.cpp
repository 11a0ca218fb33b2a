#include "oxfade/study/spread.hpp"

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <optional>
#include <utility>

#include "oxfade/scenario/read.hpp"
#include "study/quantiles.hpp"
#include "text/number.hpp"

namespace oxfade::study {
namespace {

constexpr std::string_view forms =
    "normal(mean, deviation), normal(mean, deviation, low, high), uniform(low, high) or triangular(low, "
    "mode, high)";
constexpr int most_values = 1000;

[[noreturn]] void refuse(const std::string& key, std::string_view value, std::string what,
                         std::string allowed) {
    throw InputError({Problem{key, std::string(value), std::move(what), std::move(allowed), {}, 0}});
}

std::vector<std::string_view> split(std::string_view text, char at) {
    std::vector<std::string_view> parts;
    for (;;) {
        const auto comma = text.find(at);
        parts.push_back(text::trim(text.substr(0, comma)));
        if (comma == std::string_view::npos) return parts;
        text.remove_prefix(comma + 1);
    }
}

struct Quantile {
    double operator()(const Normal& d) const {
        const double below = std::isinf(d.low) ? 0.0 : detail::normal_below(d.mean, d.deviation, d.low);
        const double upto = std::isinf(d.high) ? 1.0 : detail::normal_below(d.mean, d.deviation, d.high);
        return detail::normal_quantile(d.mean, d.deviation, below + probability * (upto - below));
    }
    double operator()(const Uniform& d) const { return d.low + probability * (d.high - d.low); }
    double operator()(const Triangular& d) const {
        return detail::triangular_quantile(d.low, d.mode, d.high, probability);
    }
    double probability;
};

Distribution read_values(const std::string& name, const std::vector<std::string_view>& parts,
                         const Parameter& parameter, const plant::Plant& plant) {
    const auto value = [&](std::size_t k) { return parameter.parse(parts[k], plant); };
    if (name == "uniform") return Uniform{value(0), value(1)};
    if (name == "triangular") return Triangular{value(0), value(1), value(2)};
    Normal normal;
    normal.mean = value(0);
    normal.deviation = parameter.parse_difference(parts[1], plant);
    if (parts.size() == 4) {
        normal.low = value(2);
        normal.high = value(3);
    }
    return normal;
}

struct FindUnsound {
    std::optional<Unsound> operator()(const Normal& d) const {
        if (!(d.deviation > 0.0) || !std::isfinite(d.deviation) || !std::isfinite(d.mean))
            return Unsound{"a standard deviation is wanted", "above zero"};
        // Cut off farther out, nothing of the bell would be left to draw from.
        constexpr double farthest = 6.0;
        if (!(d.low < d.high) || d.low > d.mean + farthest * d.deviation ||
            d.high < d.mean - farthest * d.deviation)
            return Unsound{"the limits leave nothing of the distribution", "low < high, around the mean"};
        return std::nullopt;
    }
    std::optional<Unsound> operator()(const Uniform& d) const {
        if (d.low < d.high && std::isfinite(d.high - d.low)) return std::nullopt;
        return Unsound{"is not below the upper limit", "low < high"};
    }
    std::optional<Unsound> operator()(const Triangular& d) const {
        const bool in_order = d.low <= d.mode && d.mode <= d.high && d.low < d.high;
        if (in_order && std::isfinite(d.high - d.low)) return std::nullopt;
        return Unsound{"is out of order", "low <= mode <= high, low < high"};
    }
};

struct Assignment {
    Parameter parameter;
    std::string value;
};

Assignment split_assignment(std::string_view text, const plant::Plant& plant, const char* example) {
    try {
        auto override = scenario::parse_override(text);
        const auto key = text::trim(override.key);
        return {Parameter(plant, std::string(key)), std::string(text::trim(override.value))};
    } catch (const InputError& error) {
        if (!error.problems().front().key.empty()) throw;
    }
    refuse("", text, "is not KEY=VALUES", example);
}

std::vector<double> even_steps(const Assignment& given, std::size_t dots, const plant::Plant& plant) {
    const std::string_view text = given.value;
    const auto colon = text.rfind(':');
    int count = 0;
    if (colon != std::string_view::npos && colon > dots) {
        const auto digits = text::trim(text.substr(colon + 1));
        const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), count);
        if (error != std::errc() || end != digits.data() + digits.size()) count = 0;
    }
    if (count < 2 || count > most_values) {
        refuse(given.parameter.key(), text, "the number of values is missing or out of range",
               fmt::format("from..to:number with 2 to {}, for example 1 mm..2 mm:5", most_values));
    }
    const double from = given.parameter.parse(text::trim(text.substr(0, dots)), plant);
    const double to = given.parameter.parse(text::trim(text.substr(dots + 2, colon - dots - 2)), plant);
    std::vector<double> values;
    values.reserve(static_cast<std::size_t>(count));
    for (int k = 0; k < count; ++k) values.push_back(from + (to - from) * k / (count - 1));
    return values;
}

}  // namespace

double quantile(const Distribution& distribution, double probability) {
    return std::visit(Quantile{probability}, distribution);
}

std::optional<Unsound> find_unsound(const Distribution& distribution) {
    return std::visit(FindUnsound{}, distribution);
}

Distribution parse_distribution(std::string_view text, const Parameter& parameter,
                                const plant::Plant& plant) {
    const auto open = text.find('(');
    if (open == std::string_view::npos || text.back() != ')')
        refuse(parameter.key(), text, "is no distribution", std::string(forms));
    const auto name = text::trim(text.substr(0, open));
    const auto parts = split(text.substr(open + 1, text.size() - open - 2), ',');
    const bool known = name == "normal"       ? parts.size() == 2 || parts.size() == 4
                       : name == "uniform"    ? parts.size() == 2
                       : name == "triangular" ? parts.size() == 3
                                              : false;
    if (!known) refuse(parameter.key(), text, "is no distribution with that many values", std::string(forms));
    Distribution distribution = read_values(std::string(name), parts, parameter, plant);
    if (auto wrong = find_unsound(distribution))
        refuse(parameter.key(), text, std::move(wrong->what), std::move(wrong->allowed));
    return distribution;
}

Unknown parse_unknown(std::string_view assignment, const plant::Plant& plant) {
    const Assignment given =
        split_assignment(assignment, plant, "for example source.purity=normal(98 %, 0.3 %)");
    return {given.parameter.key(), parse_distribution(given.value, given.parameter, plant)};
}

Axis parse_axis(std::string_view assignment, const plant::Plant& plant) {
    const Assignment given = split_assignment(assignment, plant, "for example source.purity=97 %..99 %:5");
    const auto dots = given.value.find("..");
    if (dots != std::string::npos) return {given.parameter.key(), even_steps(given, dots, plant)};
    Axis axis{given.parameter.key(), {}};
    for (const auto part : split(given.value, ',')) axis.values.push_back(given.parameter.parse(part, plant));
    return axis;
}

}  // namespace oxfade::study
