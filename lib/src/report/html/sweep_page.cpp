#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "oxfade/report/study_sweep.hpp"
#include "report/html/page_data.hpp"
#include "report/html/page_words.hpp"
#include "report/study_words.hpp"

namespace oxfade::report {
namespace {

using detail::Json;

constexpr std::size_t curve_points = 200;

/// Days to target of a point's runs in rising order, thinned; runs that never get there are left out.
Json days_json(const study::SweepResult& result, std::size_t point) {
    std::vector<double> days;
    for (std::size_t k = 0; k < result.runs_per_point; ++k) {
        const study::SweepRun& run = result.runs[point * result.runs_per_point + k];
        if (run.error.empty() && std::isfinite(run.time_to_target))
            days.push_back(run.time_to_target / 86400.0);
    }
    std::sort(days.begin(), days.end());
    Json list = Json::array();
    const std::size_t count = std::min(days.size(), curve_points);
    for (std::size_t k = 0; k < count; ++k) list.push_back(days[(k + 1) * days.size() / count - 1]);
    return list;
}

/// One unit for all of an axis: what is shown is (SI value - offset) / scale.
struct AxisUnit {
    std::string name;
    double scale = 1.0, offset = 0.0;
};

AxisUnit axis_unit(std::optional<scenario::Dimension> dimension, double largest, const Units& units) {
    using scenario::Dimension;
    const bool us = units.system == System::us;
    if (!dimension) return {"1"};
    switch (*dimension) {
        case Dimension::length:
            if (largest < 1.0) return us ? AxisUnit{"in", 0.0254} : AxisUnit{"mm", 1e-3};
            return us ? AxisUnit{"ft", 0.3048} : AxisUnit{"m"};
        case Dimension::volume:
            return us ? AxisUnit{"gal", 3.785411784e-3} : AxisUnit{"L", 1e-3};
        case Dimension::time:
            return {"days", 86400.0};
        case Dimension::pressure:
            return us ? AxisUnit{"psig", 6894.757293168, units.site_pressure}
                      : AxisUnit{"bar(g)", 1e5, units.site_pressure};
        case Dimension::absolute_pressure:
        case Dimension::pressure_difference:
            return us ? AxisUnit{"psi", 6894.757293168} : AxisUnit{"kPa", 1e3};
        case Dimension::temperature:
            return us ? AxisUnit{"degF", 1.0 / 1.8, 273.15 - 32.0 / 1.8} : AxisUnit{"degC", 1.0, 273.15};
        case Dimension::volume_flow:
            return us ? AxisUnit{"ft3/h", 0.028316846592 / 3600.0} : AxisUnit{"L/min", 1e-3 / 60.0};
        case Dimension::molar_flow:
            return {"mol/s"};
        case Dimension::power:
            return {"kW", 1e3};
        case Dimension::fraction:
            return {"%", 0.01};
        default:
            return {"SI"};
    }
}

std::optional<scenario::Dimension> dimension_of(const plant::Plant& plant, const std::string& key) {
    return study::Parameter(plant, key).dimension();
}

AxisUnit unit_of(const plant::Plant& plant, const study::Axis& axis, const Units& units) {
    const double largest = *std::max_element(axis.values.begin(), axis.values.end());
    return axis_unit(dimension_of(plant, axis.key), largest, units);
}

Json axes_json(const plant::Plant& plant, const study::SweepResult& result, const Units& units) {
    Json list = Json::array();
    for (const study::Axis& axis : result.axes) {
        list.push_back({{"key", axis.key}, {"unit", detail::in_both(units, [&](const Units& u) {
                                                return unit_of(plant, axis, u).name;
                                            })}});
    }
    return list;
}

Json point_json(const plant::Plant& plant, const study::SweepResult& result, std::size_t k,
                const Units& units) {
    const study::SweepPoint& point = result.points[k];
    Json json{{"runs", point.runs}, {"met", point.met}, {"days", Json::array()}, {"indices", Json::array()}};
    json["values"] = detail::in_both(units, [&](const Units& u) {
        Json list = Json::array();
        for (std::size_t i = 0; i < result.axes.size(); ++i) {
            const AxisUnit unit = unit_of(plant, result.axes[i], u);
            list.push_back(detail::number((point.values[i] - unit.offset) / unit.scale));
        }
        return list;
    });
    if (result.unknowns.empty()) {
        json["time_to_target_s"] = detail::number(result.runs[k].time_to_target);
        return json;
    }
    json["days"] = days_json(result, k);
    for (const study::Percentile& p : point.percentiles) {
        json[fmt::format("p{:.0f}", 100.0 * p.share)] = detail::number(p.value);
    }
    for (std::size_t i = 0; i < point.indices.size(); ++i) {
        json["indices"].push_back({{"key", result.unknowns[i].key},
                                   {"total", detail::number(point.indices[i].total)},
                                   {"total_error", detail::number(point.indices[i].total_error)}});
    }
    return json;
}

std::string days(const std::optional<double>& seconds) {
    return seconds && std::isfinite(*seconds) ? fmt::format("{:.2f} d", *seconds / 86400.0) : "not met";
}

std::string share(std::size_t part, std::size_t whole) {
    return whole == 0 ? "none" : format_percent(static_cast<double>(part) / static_cast<double>(whole));
}

/// A line of the table of points: values of the axes, then what came of them.
Json line_json(const plant::Plant& plant, const study::SweepResult& result, std::size_t k,
               const Units& units) {
    const study::SweepPoint& point = result.points[k];
    Json line = Json::array();
    for (std::size_t i = 0; i < result.axes.size(); ++i)
        line.push_back(detail::axis_text(plant, result.axes[i], point.values[i], units));
    if (result.unknowns.empty()) {
        const study::SweepRun& run = result.runs[k];
        if (!run.error.empty()) {
            for (const char* text : {"failed", "", "", ""}) line.push_back(text);
            return line;
        }
        line.push_back(days(run.time_to_target));
        line.push_back((std::isfinite(run.longest_fill) ? format_time(run.longest_fill) : "never") +
                       (run.fills_met ? "" : ", over its limit"));
        line.push_back(run.air_after_fill > 0.0 ? "yes" : "no");
        line.push_back(format_amount(run.nitrogen, units));
        return line;
    }
    if (result.axes.empty()) line.push_back("all runs");
    for (const study::Percentile& p : point.percentiles) line.push_back(days(p.value));
    line.push_back(share(point.met_within, point.runs));
    line.push_back(share(point.fills_met, point.runs));
    line.push_back(share(point.on_air, point.runs));
    line.push_back(std::to_string(point.runs) +
                   (point.failed > 0 ? fmt::format(", {} failed", point.failed) : ""));
    return line;
}

Json columns_json(const study::SweepResult& result, const Units& /*units*/) {
    Json columns = Json::array();
    for (const study::Axis& axis : result.axes) columns.push_back(axis.key);
    if (result.unknowns.empty()) {
        for (const char* name : {"Days to target", "Longest fill", "On air after the fills", "Nitrogen used"})
            columns.push_back(name);
        return columns;
    }
    if (result.axes.empty()) columns.push_back("");
    for (const study::Percentile& p : result.points.front().percentiles)
        columns.push_back(fmt::format("{:.0f} % within", 100.0 * p.share));
    columns.push_back("On target within " + format_time(result.within));
    for (const char* name : {"Fills in time", "On air after the fills", "Runs"}) columns.push_back(name);
    return columns;
}

/// Runs that are on target within the wanted time, and all that were done.
std::pair<std::size_t, std::size_t> in_time(const study::SweepResult& result) {
    std::size_t met = 0, runs = 0;
    for (const study::SweepPoint& point : result.points) {
        met += point.met_within;
        runs += point.runs;
    }
    return {met, runs};
}

Json words(const study::SweepResult& result, const PageRun& run, const PageHead& head, const Units& units) {
    const plant::Plant& plant = run.plant;
    const auto [met, runs] = in_time(result);
    Json json = detail::run_words(run, head.friction_resolved, units);
    Json sentences = json["sentences"], varied = Json::array(), points = Json::array();
    for (Json& sentence : sentences)
        sentence["name"] = "As the file has it, " + sentence["name"].get<std::string>();
    for (const study::Axis& axis : result.axes) {
        varied.push_back(fmt::format("{}: {} values from {} to {}", axis.key, axis.values.size(),
                                     detail::axis_text(plant, axis, axis.values.front(), units),
                                     detail::axis_text(plant, axis, axis.values.back(), units)));
    }
    for (const study::Unknown& unknown : result.unknowns)
        varied.push_back(detail::unknown_text(plant, unknown, units));
    for (std::size_t k = 0; k < result.points.size(); ++k)
        points.push_back(line_json(plant, result, k, units));
    json["verdict"] =
        fmt::format("{} of {} runs meet the target within {}.", met, runs, format_time(result.within));
    json["met"] = met == runs;
    json["lead"] =
        fmt::format("{} runs of {} each{}. Map and curves below show the plant as the file has it.",
                    result.runs.size(), format_time(plant.duration),
                    result.unknowns.empty() ? "" : fmt::format(", drawn from seed {}", result.seed));
    json["sentences"] = sentences;
    json["varied"] = varied;
    json["columns"] = columns_json(result, units);
    json["points"] = points;
    return json;
}

}  // namespace

std::string sweep_html(const study::SweepResult& result, const PageRun& run, const PageHead& head) {
    Json json = detail::page_json("sweep", "What a nitrogen purge depends on", {run}, head);
    Json points = Json::array();
    for (std::size_t k = 0; k < result.points.size(); ++k)
        points.push_back(point_json(run.plant, result, k, head.units));
    json["study"] = {{"spread", !result.unknowns.empty()},
                     {"axes", axes_json(run.plant, result, head.units)},
                     {"points", points}};
    json["text"] =
        detail::in_both(head.units, [&](const Units& units) { return words(result, run, head, units); });
    return detail::document(json, run.plant.title, sweep_text(run.plant, result, head.units));
}

}  // namespace oxfade::report
