#include "oxfade/report/study_compare.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "answers.hpp"
#include "json_support.hpp"
#include "oxfade/report/study_values.hpp"
#include "oxfade/report/text.hpp"
#include "oxfade/version.hpp"
#include "page.hpp"
#include "study_words.hpp"
#include "text_parts.hpp"

namespace oxfade::report {
namespace {

using detail::Json;
using detail::number;
using detail::Page;
using study::Measure;

constexpr std::size_t at_once = 4;  ///< columns of strategies that fit beside each other
constexpr int label_width = 20, column_width = 14;

/// Strategies are called by letters.
std::string letter(std::size_t k) { return std::string(1, static_cast<char>('A' + k)); }

void write_row(Page& page, const std::string& label, const std::vector<std::string>& cells) {
    std::string line = fmt::format("  {:<{}}", label, label_width);
    for (const std::string& cell : cells) line += fmt::format("{:>{}}", cell, column_width);
    page.line(line);
}

void write_table(Page& page, const study::Comparison& comparison, std::size_t first, const Units& units) {
    const std::size_t last = std::min(first + at_once, comparison.strategies.size());
    std::vector<std::string> cells;
    for (std::size_t k = first; k < last; ++k) cells.push_back(letter(k) + " ");
    write_row(page, "", cells);
    for (const Measure measure : study::measures) {
        cells.clear();
        for (std::size_t k = first; k < last; ++k) {
            const bool best = comparison.best[static_cast<std::size_t>(measure)] == k;
            cells.push_back(detail::measure_text(comparison.strategies[k], measure, units) +
                            (best ? "*" : " "));
        }
        write_row(page, detail::measure_label(measure), cells);
    }
    page.blank();
}

/// How far the cutting into cells may still move each time to target; empty where nobody knows.
std::string space_errors(const study::Comparison& comparison) {
    std::string text;
    for (std::size_t k = 0; k < comparison.strategies.size(); ++k) {
        const auto& error = comparison.strategies[k].space_error;
        if (error) text += fmt::format("{}{} ±{}", text.empty() ? "" : ", ", letter(k), format_time(*error));
    }
    return text.empty() ? text : "Cutting pipes into cells may still move the time to target: " + text + ".";
}

void write_differences(Page& page, const study::Comparison& comparison, const Units& units) {
    page.heading("What is different");
    if (comparison.differences.empty()) page.paragraph("Nothing: the systems are the same.", 2);
    for (const study::Difference& difference : comparison.differences) {
        page.paragraph(difference.key, 2);
        std::string text;
        for (std::size_t k = 0; k < difference.values.size(); ++k) {
            const auto& field = difference.values[k];
            text += fmt::format("{}{}: {}", k > 0 ? ";  " : "", letter(k),
                                field ? format_field(*field, units) : "has none");
        }
        page.paragraph(text, 6);
    }
    page.blank();
}

void write_messages(Page& page, const study::Comparison& comparison, const Units& units) {
    const bool any = std::any_of(comparison.strategies.begin(), comparison.strategies.end(),
                                 [](const study::Strategy& strategy) { return !strategy.messages.empty(); });
    if (!any) return;
    page.heading("Findings");
    for (std::size_t k = 0; k < comparison.strategies.size(); ++k) {
        for (const outcome::Message& message : comparison.strategies[k].messages)
            page.labelled(letter(k), message_line(message, units));
    }
    page.blank();
}

}  // namespace

namespace detail {

const char* measure_label(Measure measure) {
    switch (measure) {
        case Measure::time_to_target:
            return "Days to target";
        case Measure::longest_fill:
            return "Longest fill";
        case Measure::nitrogen:
            return "Nitrogen used";
        case Measure::energy:
            return "Energy";
        case Measure::running:
            return "Source runs";
        case Measure::starts:
            return "Starts";
        case Measure::oxygen_exposure:
            return "Oxygen exposure";
    }
    return "";
}

std::string measure_text(const study::Strategy& strategy, Measure measure, const Units& units) {
    const auto& value = strategy.values[static_cast<std::size_t>(measure)];
    const bool never = measure == Measure::time_to_target || measure == Measure::longest_fill;
    if (!value) return never ? "not met" : "unknown";
    switch (measure) {
        case Measure::time_to_target:
            return fmt::format("{:.2f}", *value / 86400.0);
        case Measure::longest_fill:
            return format_time(*value) + (strategy.fills_met ? "" : "!");
        case Measure::nitrogen:
            return format_value(*value, outcome::Dimension::standard_volume, units);
        case Measure::energy:
            return format_number(*value / 3.6e6) + " kWh";
        case Measure::running:
            return format_time(*value);
        case Measure::starts:
            return format_number(*value, 6);
        case Measure::oxygen_exposure:
            return format_percent(*value);
    }
    return "";
}

}  // namespace detail

std::string compare_text(const study::Comparison& comparison, const Units& units) {
    Page page;
    page.paragraph(
        fmt::format("oxfade {}: {} strategies side by side", version, comparison.strategies.size()));
    page.blank();
    for (std::size_t k = 0; k < comparison.strategies.size(); ++k) {
        const study::Strategy& strategy = comparison.strategies[k];
        page.labelled(letter(k), fmt::format("{}: {}{}", strategy.name,
                                             strategy.all_met      ? "target and fill limits met"
                                             : strategy.target_met ? "target met, a fill limit is not"
                                                                   : "target NOT met",
                                             detail::target_tag(strategy.target_at)));
    }
    page.blank();
    page.heading("Side by side", "* best");
    for (std::size_t first = 0; first < comparison.strategies.size(); first += at_once)
        write_table(page, comparison, first, units);
    page.paragraph(
        "Best means least by more than 0.1 %, among those that meet the target if any does. ! marks a fill "
        "over its limit. Oxygen exposure: its partial pressure over the run, relative to the same piping on "
        "air.",
        2);
    if (const std::string errors = space_errors(comparison); !errors.empty()) page.paragraph(errors, 2);
    page.blank();
    write_differences(page, comparison, units);
    write_messages(page, comparison, units);
    detail::write_cautions(page);
    return page.text();
}

std::string compare_json(const study::Comparison& comparison, const Units& units) {
    Json json = detail::document_head("comparison");
    json["strategies"] = Json::array();
    for (const study::Strategy& strategy : comparison.strategies) {
        const auto value = [&](Measure m) { return strategy.values[static_cast<std::size_t>(m)]; };
        const auto energy = value(Measure::energy);
        json["strategies"].push_back({{"name", strategy.name},
                                      {"all_met", strategy.all_met},
                                      {"target_met", strategy.target_met},
                                      {"fills_met", strategy.fills_met},
                                      {"target_at", std::string(detail::target_at_name(strategy.target_at))},
                                      {"time_to_target_s", number(value(Measure::time_to_target))},
                                      {"space_error_of_time_s", number(strategy.space_error)},
                                      {"longest_fill_s", number(value(Measure::longest_fill))},
                                      {"nitrogen_std_m3", number(value(Measure::nitrogen))},
                                      {"energy_kwh", energy ? number(*energy / 3.6e6) : Json(nullptr)},
                                      {"running_s", number(value(Measure::running))},
                                      {"starts", number(value(Measure::starts))},
                                      {"oxygen_exposure", number(value(Measure::oxygen_exposure))},
                                      {"messages", detail::messages_json(strategy.messages, units)}});
    }
    json["best"] = Json::object();
    for (const Measure measure : study::measures) {
        const auto best = comparison.best[static_cast<std::size_t>(measure)];
        json["best"][std::string(measure_name(measure))] =
            best ? Json(comparison.strategies[*best].name) : Json(nullptr);
    }
    json["differences"] = Json::array();
    for (const study::Difference& difference : comparison.differences) {
        Json values = Json::array();
        for (const auto& field : difference.values) {
            if (!field) {
                values.push_back(nullptr);
            } else {
                values.push_back(field->value ? number(*field->value) : Json(field->word));
            }
        }
        json["differences"].push_back({{"key", difference.key}, {"values", values}});
    }
    return detail::document(json);
}

}  // namespace oxfade::report
