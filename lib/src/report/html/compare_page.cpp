#include "oxfade/report/study_compare.hpp"
#include "oxfade/report/study_values.hpp"
#include "report/answers.hpp"
#include "report/html/page_data.hpp"
#include "report/html/page_words.hpp"
#include "report/study_words.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace oxfade::report {
namespace {

using detail::Json;

std::string letter(std::size_t k) {
    return k < 26 ? std::string(1, static_cast<char>('A' + k)) : fmt::format("S{}", k + 1);
}

Json side_json(const study::Comparison& comparison, const Units& units) {
    Json lines = Json::array();
    for (const study::Measure measure : study::measures) {
        Json values = Json::array();
        for (const study::Strategy& strategy : comparison.strategies) {
            values.push_back(detail::measure_text(strategy, measure, units));
        }
        const auto best = comparison.best[static_cast<std::size_t>(measure)];
        lines.push_back({{"label", detail::measure_label(measure)},
                         {"values", values},
                         {"best", best ? Json(*best) : Json(nullptr)}});
    }
    return lines;
}

Json differences_json(const study::Comparison& comparison, const Units& units) {
    Json list = Json::array();
    for (const study::Difference& difference : comparison.differences) {
        Json values = Json::array();
        for (const auto& field : difference.values) {
            values.push_back(field ? format_field(*field, units) : "has none");
        }
        list.push_back({{"key", difference.key}, {"values", values}});
    }
    return list;
}

Json strategy_sentences(const study::Comparison& comparison, const std::vector<PageRun>& runs) {
    Json list = Json::array();
    for (std::size_t k = 0; k < comparison.strategies.size(); ++k) {
        const study::Strategy& strategy = comparison.strategies[k];
        const auto& time = strategy.values[static_cast<std::size_t>(study::Measure::time_to_target)];
        std::string text = "does not bring every system to its target.";
        if (strategy.target_met && time) {
            text = fmt::format("brings every system to its target{} {} after the start ({}){}{}.",
                               detail::target_tag(strategy.target_at), format_time(*time), format_day(*time),
                               detail::time_error_text(strategy.space_error),
                               strategy.fills_met ? "" : ", but a fill takes longer than its limit");
        }
        list.push_back(
            {{"name", letter(k) + ", " + runs[k].label + ","}, {"met", strategy.all_met}, {"text", text}});
    }
    return list;
}

std::string verdict(const study::Comparison& comparison) {
    const auto& list = comparison.strategies;
    const auto met = std::count_if(list.begin(), list.end(),
                                   [](const study::Strategy& strategy) { return strategy.all_met; });
    if (met == 0) return fmt::format("None of the {} strategies meets target and fill limits.", list.size());
    const auto best = comparison.best[static_cast<std::size_t>(study::Measure::time_to_target)];
    std::string text = met == static_cast<std::ptrdiff_t>(list.size())
                           ? fmt::format("All {} strategies meet target and fill limits", list.size())
                           : fmt::format("{} of {} strategies {} target and fill limits", met, list.size(),
                                         met == 1 ? "meets" : "meet");
    return text + (best ? fmt::format("; {} is the quickest.", letter(*best)) : ".");
}

Json words(const study::Comparison& comparison, const std::vector<PageRun>& runs, const PageHead& head,
           const Units& units) {
    Json names = Json::array(), findings = Json::array(), asked = Json::array();
    for (std::size_t k = 0; k < comparison.strategies.size(); ++k) {
        names.push_back(runs[k].label);
        for (Json finding : detail::findings_json(comparison.strategies[k].messages, units)) {
            finding["where"] = letter(k) + ": " + finding["where"].get<std::string>();
            findings.push_back(std::move(finding));
        }
        for (Json row : detail::asked_json(runs[k].plant, runs[k].outcome, units)) {
            row["what"] = letter(k) + ": " + row["what"].get<std::string>();
            asked.push_back(std::move(row));
        }
    }
    return {{"verdict", verdict(comparison)},
            {"met", std::any_of(comparison.strategies.begin(), comparison.strategies.end(),
                                [](const study::Strategy& strategy) { return strategy.all_met; })},
            {"lead", "Each strategy is a file of its own, run from the opening of its first fill valve."},
            {"sentences", strategy_sentences(comparison, runs)},
            {"asked", asked},
            {"assumptions", detail::assumptions(runs.front().plant, head.friction_resolved, units)},
            {"findings", findings},
            {"strategies", names},
            {"side", side_json(comparison, units)},
            {"differences", differences_json(comparison, units)}};
}

}  // namespace

std::string compare_html(const study::Comparison& comparison, const std::vector<PageRun>& runs,
                         const PageHead& head) {
    Json json = detail::page_json("compare", "Strategies for a nitrogen purge, side by side", runs, head);
    for (std::size_t k = 0; k < runs.size(); ++k) {
        json["runs"][k]["label"] = letter(k) + ": " + runs[k].label;
    }
    json["text"] =
        detail::in_both(head.units, [&](const Units& units) { return words(comparison, runs, head, units); });
    return detail::document(json, runs.front().plant.title, compare_text(comparison, head.units));
}

}  // namespace oxfade::report
