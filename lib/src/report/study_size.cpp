#include "oxfade/report/study_size.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "answers.hpp"
#include "json_support.hpp"
#include "oxfade/report/csv.hpp"
#include "oxfade/version.hpp"
#include "page.hpp"
#include "text_parts.hpp"

namespace oxfade::report {
namespace {

using detail::Json;
using detail::number;
using detail::Page;
using outcome::Dimension;

std::string obstacle_text(const study::Obstacle& obstacle) {
    switch (obstacle.limit) {
        case study::Limit::target:
            return fmt::format("'{}' meets the target too late, even with the largest orifice",
                               obstacle.riser);
        case study::Limit::fill:
            return fmt::format("'{}' takes too long to fill", obstacle.riser);
        case study::Limit::separator:
            return "vents and leaks take more than the separator makes";
        case study::Limit::none:
            break;
    }
    return "nothing: the smallest source listed meets the requirements";
}

std::string drills_text(const study::Design& design, const Units& units) {
    std::string text;
    for (const double drill : design.drills) {
        text += text.empty() ? "" : ", ";
        text += std::isnan(drill) ? "no vent" : format_value(drill, Dimension::length, units);
    }
    return text;
}

void write_design(Page& page, const plant::Plant& plant, const study::SizeResult& result,
                  const study::Design& design, const Units& units) {
    page.heading("Smallest that meets all limits", fmt::format("{} runs made", result.runs));
    page.labelled("Source", fmt::format("{} of nitrogen, {} of air",
                                        format_value(design.nitrogen_flow, Dimension::standard_flow, units),
                                        format_value(design.air_flow, Dimension::standard_flow, units)));
    for (std::size_t r = 0; r < plant.risers.size(); ++r) {
        const double drill = design.drills[r];
        page.labelled(plant.risers[r].name, std::isnan(drill)
                                                ? "no vent"
                                                : fmt::format("vents with orifices of {}",
                                                              format_value(drill, Dimension::length, units)));
    }
    page.labelled("Target met",
                  fmt::format("{} after {}{}, {} of the time allowed", detail::target_place(plant.target_at),
                              format_time(design.time_to_target), detail::time_error_text(result.space_error),
                              format_percent(design.target_use)));
    page.labelled("Fill", fmt::format("the longest uses {} of its limit", format_percent(design.fill_use)));
    page.labelled("Separator",
                  fmt::format("{} of what it makes is used", format_percent(design.separator_use)));
    if (result.next_smaller) {
        page.labelled("What binds",
                      fmt::format("the next smaller source ({}) fails: {}",
                                  format_value(*result.next_smaller, Dimension::standard_flow, units),
                                  obstacle_text(result.binding)));
    } else {
        page.labelled("What binds", obstacle_text(result.binding));
    }
    page.blank();
}

void write_curve(Page& page, const study::SizeResult& result, const Units& units) {
    double largest = 0.0;
    for (const study::TradeOff& point : result.curve) {
        if (point.design) largest = std::max(largest, point.design->nitrogen_flow);
    }
    page.heading("Trade-off", "smallest source by deadline");
    page.line(fmt::format("  {:>9}  {:>11}  {:<24}  {}", "target by", "source", "", "orifices"));
    for (const study::TradeOff& point : result.curve) {
        const std::string by = fmt::format("{:.2f} d", point.deadline / 86400.0);
        if (!point.design) {
            page.line(fmt::format("  {:>9}  {:>11}", by, "none"));
            continue;
        }
        const auto bar = static_cast<std::size_t>(std::lround(24.0 * point.design->nitrogen_flow / largest));
        page.line(fmt::format("  {:>9}  {:>11}  {:<24}  {}", by,
                              format_value(point.design->nitrogen_flow, Dimension::standard_flow, units),
                              std::string(bar, '#'), drills_text(*point.design, units)));
    }
    page.blank();
}

Json design_json(const plant::Plant& plant, const study::Design& design) {
    Json drills = Json::array();
    for (std::size_t r = 0; r < plant.risers.size(); ++r)
        drills.push_back({{"riser", plant.risers[r].name}, {"diameter_m", number(design.drills[r])}});
    return {{"nitrogen_flow_std_m3_per_s", number(design.nitrogen_flow)},
            {"air_flow_std_m3_per_s", number(design.air_flow)},
            {"drills", drills},
            {"time_to_target_s", number(design.time_to_target)},
            {"target_use", number(design.target_use)},
            {"fill_use", number(design.fill_use)},
            {"separator_use", number(design.separator_use)}};
}

}  // namespace

std::string size_text(const plant::Plant& plant, const study::SizeResult& result, double margin,
                      const Units& units) {
    Page page;
    if (!plant.title.empty()) page.paragraph(plant.title);
    page.paragraph(fmt::format("oxfade {}: target {} {} by {}, safety margin {} on every limit", version,
                               format_purity(plant.target), detail::target_place(plant.target_at),
                               format_time(result.by), format_percent(margin)));
    page.blank();
    if (result.design) {
        write_design(page, plant, result, *result.design, units);
    } else {
        page.paragraph(fmt::format(
            "NOT MET: no listed source and orifice meets the requirements. With the largest source: {}.",
            obstacle_text(result.binding)));
        page.blank();
    }
    write_curve(page, result, units);
    detail::write_cautions(page);
    return page.text();
}

std::string size_json(const plant::Plant& plant, const study::SizeResult& result, double margin) {
    Json json = detail::document_head(plant.title);
    json["target_purity"] = number(plant.target);
    json["target_at"] = std::string(detail::target_at_name(plant.target_at));
    json["by_s"] = number(result.by);
    json["margin"] = number(margin);
    json["design"] = result.design ? design_json(plant, *result.design) : Json(nullptr);
    json["binding"] = {{"limit", study::limit_name(result.binding.limit)},
                       {"riser", result.binding.riser},
                       {"next_smaller_std_m3_per_s", number(result.next_smaller)}};
    json["curve"] = Json::array();
    for (const study::TradeOff& point : result.curve) {
        json["curve"].push_back(
            {{"by_s", number(point.deadline)},
             {"design", point.design ? design_json(plant, *point.design) : Json(nullptr)}});
    }
    json["space_error_of_time_s"] = number(result.space_error);
    json["runs"] = result.runs;
    return detail::document(json);
}

std::string size_csv(const plant::Plant& plant, const study::SizeResult& result) {
    const bool everywhere = plant.target_at == plant::TargetAt::everywhere;
    std::string text = "by_s,nitrogen_flow_std_m3_per_s,time_to_target_s";
    for (const plant::Riser& riser : plant.risers) text += ',' + csv_field(riser.name + " drill_m");
    if (!everywhere) text += ",target_at";
    text += '\n';
    for (const study::TradeOff& point : result.curve) {
        text += detail::number_field(point.deadline);
        text += ',' + (point.design ? detail::number_field(point.design->nitrogen_flow) : std::string());
        text += ',' + (point.design ? detail::number_field(point.design->time_to_target) : std::string());
        for (std::size_t r = 0; r < plant.risers.size(); ++r)
            text += ',' + (point.design ? detail::number_field(point.design->drills[r]) : std::string());
        if (!everywhere) text.append(",").append(detail::target_at_name(plant.target_at));
        text += '\n';
    }
    return text;
}

}  // namespace oxfade::report
