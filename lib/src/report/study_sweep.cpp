#include "oxfade/report/study_sweep.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <numeric>

#include "answers.hpp"
#include "json_support.hpp"
#include "oxfade/report/csv.hpp"
#include "oxfade/report/study_values.hpp"
#include "oxfade/version.hpp"
#include "page.hpp"
#include "study_words.hpp"
#include "text_parts.hpp"

namespace oxfade::report {
namespace {

using detail::Json;
using detail::number;
using detail::Page;

std::string days(const std::optional<double>& seconds) {
    return seconds ? fmt::format("{:.2f}", *seconds / 86400.0) : "not met";
}

std::string share(std::size_t part, std::size_t whole) {
    if (whole == 0) return "none";
    return format_percent(static_cast<double>(part) / static_cast<double>(whole));
}

/// Standard error of a share of independent runs.
double share_error(std::size_t part, std::size_t whole) {
    if (whole == 0) return 0.0;
    const double p = static_cast<double>(part) / static_cast<double>(whole);
    return std::sqrt(p * (1.0 - p) / static_cast<double>(whole));
}

std::string values_text(const plant::Plant& plant, const study::SweepResult& result,
                        const study::SweepPoint& point, const Units& units) {
    std::string text;
    for (std::size_t i = 0; i < result.axes.size(); ++i) {
        text += (i > 0 ? ", " : "") + detail::axis_text(plant, result.axes[i], point.values[i], units);
    }
    return text;
}

void write_head(Page& page, const plant::Plant& plant, const study::SweepResult& result, const Units& units) {
    if (!plant.title.empty()) page.paragraph(plant.title);
    page.paragraph(fmt::format("oxfade {}: {} runs of {} each, target {} {}{}", version, result.runs.size(),
                               format_time(plant.duration), format_purity(plant.target),
                               detail::target_place(plant.target_at),
                               result.unknowns.empty() ? "" : fmt::format(", seed {}", result.seed)));
    if (result.resumed > 0)
        page.paragraph(fmt::format("{} of the runs were finished before and not run again", result.resumed));
    page.blank();
    for (const study::Axis& axis : result.axes)
        page.paragraph(fmt::format("varied: {}, {} values", axis.key, axis.values.size()), 2);
    for (const study::Unknown& unknown : result.unknowns)
        page.paragraph(detail::unknown_text(plant, unknown, units), 2);
    page.blank();
}

/// A grid without unknowns: one run a line.
void write_grid(Page& page, const plant::Plant& plant, const study::SweepResult& result, const Units& units) {
    page.heading("Runs", "days to target" + detail::target_tag(plant.target_at));
    page.line(fmt::format("  {:>8} {:>9} {:>6} {:>9}  {}", "days", "fill", "air", "N2 used", "values"));
    for (std::size_t k = 0; k < result.runs.size(); ++k) {
        const study::SweepRun& run = result.runs[k];
        const std::string values = values_text(plant, result, result.points[k], units);
        if (!run.error.empty()) {
            page.paragraph(fmt::format("  failed with {}: {}", values, run.error), 2);
            continue;
        }
        const bool met = !std::isnan(run.time_to_target), filled = !std::isnan(run.longest_fill);
        page.line(fmt::format("  {:>8} {:>9} {:>6} {:>9}  {}", met ? days(run.time_to_target) : "not met",
                              (filled ? format_time(run.longest_fill) : "never") + (run.fills_met ? "" : "!"),
                              run.air_after_fill > 0.0 ? "yes" : "no", format_amount(run.nitrogen, units),
                              values));
    }
    page.paragraph(
        "fill: the longest of all systems, ! over its limit; air: whether the source fell back on "
        "air after the fills",
        2);
    page.blank();
}

void write_spread(Page& page, const study::SweepResult& result, const study::SweepPoint& point,
                  const Units& units) {
    if (point.failed > 0) {
        page.paragraph(fmt::format("{} runs could not be computed and are left out; the first: {}",
                                   point.failed, point.failure),
                       2);
    }
    if (point.runs == 0) return;
    for (const study::Percentile& p : point.percentiles) {
        const std::string error =
            p.value ? fmt::format(" (90 % sure: {} to {})", days(p.low), days(p.high)) : std::string();
        page.labelled(fmt::format("P{:.0f}", 100.0 * p.share),
                      fmt::format("{}{}{}", days(p.value), p.value ? " days" : "", error));
    }
    page.labelled(fmt::format("In time"),
                  fmt::format("{} of the runs meet the target within {} (give or take {})",
                              share(point.met_within, point.runs), format_time(result.within),
                              format_percent(share_error(point.met_within, point.runs))));
    page.labelled("At the end",
                  fmt::format("{} meet the target, {} meet every fill limit, {} fell back on air",
                              share(point.met, point.runs), share(point.fills_met, point.runs),
                              share(point.on_air, point.runs)));
    page.labelled("On average",
                  fmt::format("{} of nitrogen made, the source runs {}",
                              format_amount(point.mean_nitrogen, units), format_time(point.mean_running)));
    page.blank();
}

void write_indices(Page& page, const study::SweepResult& result, const study::SweepPoint& point) {
    if (result.unknowns.size() < 2) return;
    page.heading("What matters most", "share of the variance");
    if (point.indices.empty()) {
        page.paragraph("The time to target does not vary enough to tell.", 2);
        page.blank();
        return;
    }
    std::vector<std::size_t> order(point.indices.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return point.indices[a].total > point.indices[b].total;
    });
    page.line(fmt::format("  {:>14}  {:>14}", "by itself", "with others"));
    for (const std::size_t i : order) {
        const study::SobolIndex& index = point.indices[i];
        page.line(fmt::format("  {:6.3f} ± {:.3f}  {:6.3f} ± {:.3f}   {}", index.first, index.first_error,
                              index.total, index.total_error, result.unknowns[i].key));
    }
    if (point.met < point.runs)
        page.paragraph("Runs that do not meet the target count as meeting it at their end.", 2);
    page.blank();
}

Json percentile_json(const study::Percentile& p) {
    return {{"share", p.share},
            {"days", p.value ? number(*p.value / 86400.0) : Json(nullptr)},
            {"time_to_target_s", number(p.value)},
            {"low_s", number(p.low)},
            {"high_s", number(p.high)}};
}

Json point_json(const study::SweepResult& result, const study::SweepPoint& point, const Units& units) {
    Json values = Json::object();
    for (std::size_t i = 0; i < result.axes.size(); ++i) values[result.axes[i].key] = number(point.values[i]);
    Json percentiles = Json::array(), indices = Json::array();
    for (const study::Percentile& p : point.percentiles) percentiles.push_back(percentile_json(p));
    for (std::size_t i = 0; i < point.indices.size(); ++i) {
        const study::SobolIndex& index = point.indices[i];
        indices.push_back({{"key", result.unknowns[i].key},
                           {"first", number(index.first)},
                           {"first_error", number(index.first_error)},
                           {"total", number(index.total)},
                           {"total_error", number(index.total_error)}});
    }
    return {{"values", values},
            {"runs", point.runs},
            {"failed", point.failed},
            {"failure", point.failed > 0 ? Json(point.failure) : Json(nullptr)},
            {"met", point.met},
            {"met_within", point.met_within},
            {"fills_met", point.fills_met},
            {"on_air_after_fill", point.on_air},
            {"percentiles", percentiles},
            {"indices", indices},
            {"mean_nitrogen_std_m3", number(plant::standard_volume(units.reference, point.mean_nitrogen))},
            {"mean_running_s", number(point.mean_running)}};
}

}  // namespace

namespace detail {

std::string axis_text(const plant::Plant& plant, const study::Axis& axis, double value, const Units& units) {
    return format_quantity(value, study::Parameter(plant, axis.key).dimension(), units);
}

std::string unknown_text(const plant::Plant& plant, const study::Unknown& unknown, const Units& units) {
    const study::Parameter parameter(plant, unknown.key);
    const auto at = [&](double p) {
        return format_quantity(quantile(unknown.distribution, p), parameter.dimension(), units);
    };
    return fmt::format("uncertain: {}, 80 % of it from {} to {}", unknown.key, at(0.1), at(0.9));
}

}  // namespace detail

std::string sweep_text(const plant::Plant& plant, const study::SweepResult& result, const Units& units) {
    Page page;
    write_head(page, plant, result, units);
    if (result.unknowns.empty()) {
        write_grid(page, plant, result, units);
    } else {
        for (const study::SweepPoint& point : result.points) {
            page.heading("Time to target" + detail::target_tag(plant.target_at),
                         result.axes.empty() ? "" : "of the last system");
            if (!result.axes.empty()) page.labelled("With", values_text(plant, result, point, units));
            write_spread(page, result, point, units);
            write_indices(page, result, point);
        }
    }
    if (result.space_error) {
        page.paragraph(
            fmt::format("Cutting pipes into cells may still move these times; for the values as given "
                        "in the file by ±{}.",
                        format_time(*result.space_error)));
        page.blank();
    }
    detail::write_cautions(page);
    return page.text();
}

std::string sweep_json(const plant::Plant& plant, const study::SweepResult& result, const Units& units) {
    Json json = detail::document_head(plant.title);
    json["target_purity"] = number(plant.target);
    json["target_at"] = std::string(detail::target_at_name(plant.target_at));
    json["duration_s"] = number(plant.duration);
    json["within_s"] = number(result.within);
    json["space_error_of_time_s"] = number(result.space_error);
    json["seed"] = result.seed;
    json["runs"] = result.runs.size();
    json["points"] = Json::array();
    for (const study::SweepPoint& point : result.points)
        json["points"].push_back(point_json(result, point, units));
    return detail::document(json);
}

std::string sweep_csv(const study::SweepOptions& options, const study::SweepResult& result,
                      const Units& units) {
    std::string text = "run";
    for (const study::Axis& axis : result.axes) text += ',' + csv_field(axis.key);
    for (const study::Unknown& unknown : result.unknowns) text += ',' + csv_field(unknown.key);
    text += ",time_to_target_s,longest_fill_s,fills_met,air_after_fill_s,running_s,nitrogen_std_m3,error";
    const bool everywhere = result.target_at == plant::TargetAt::everywhere;
    text += everywhere ? "\n" : ",target_at\n";
    for (std::size_t k = 0; k < result.runs.size(); ++k) {
        const study::SweepRun& run = result.runs[k];
        text += std::to_string(k);
        for (const double value : study::sweep_values(options, k)) text += ',' + detail::number_field(value);
        fmt::format_to(std::back_inserter(text), ",{},{},{},{},{},{},{}",
                       detail::number_field(run.time_to_target), detail::number_field(run.longest_fill),
                       run.fills_met ? "true" : "false", detail::number_field(run.air_after_fill),
                       detail::number_field(run.running),
                       detail::number_field(plant::standard_volume(units.reference, run.nitrogen)),
                       csv_field(run.error));
        text += everywhere ? "\n" : fmt::format(",{}\n", detail::target_at_name(result.target_at));
    }
    return text;
}

}  // namespace oxfade::report
