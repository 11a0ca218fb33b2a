#include <fmt/format.h>

#include <algorithm>

#include "oxfade/report/study_fit.hpp"
#include "oxfade/study/fit.hpp"
#include "report/html/page_data.hpp"
#include "report/html/page_words.hpp"
#include "report/study_words.hpp"

namespace oxfade::report {
namespace {

using detail::Json;

constexpr std::size_t most_explanations = 8;

Json explanations_json(const plant::Plant& plant, const study::Fit& fit, const Units& units) {
    Json list = Json::array();
    for (std::size_t k = 0; k < std::min(most_explanations, fit.explanations.size()); ++k) {
        const study::Explanation& e = fit.explanations[k];
        std::string size;
        if (e.failure.empty() && k < fit.not_told_apart) size = detail::fault_size_text(plant, e, units);
        std::string odds = k == 0 ? std::string("explains them best") : detail::odds_text(fit, k);
        if (!e.failure.empty()) odds = "could not be tried: " + e.failure;
        list.push_back({{"words", e.words}, {"odds", odds}, {"size", size}});
    }
    return list;
}

Json estimates_json(const plant::Plant& plant, const study::Fit& fit, const Units& units) {
    Json list = Json::array();
    for (const study::Estimate& e : fit.estimates) {
        const auto at = [&](double value) { return detail::estimate_text(plant, e, value, units); };
        const bool turned = e.quantity == study::Quantity::product_oxygen;
        list.push_back({{"what", detail::estimate_label(e)},
                        {"found", at(e.value)},
                        {"range", at(turned ? e.high : e.low) + " to " + at(turned ? e.low : e.high)},
                        {"given", at(e.designed)},
                        {"note", e.narrowed > 0.9 ? "the readings say next to nothing of it" : ""}});
    }
    return list;
}

Json readings_json(const plant::Plant& plant, const std::vector<study::Reading>& readings) {
    Json list = Json::array();
    for (const study::Reading& reading : readings) {
        for (std::size_t r = 0; r < plant.risers.size(); ++r) {
            if (plant.risers[r].name != reading.riser) continue;
            const auto pipe = plant.risers[r].pipe_index(reading.pipe);
            if (!pipe) continue;
            list.push_back({{"time_s", detail::number(reading.time)},
                            {"riser", r},
                            {"pipe", *pipe},
                            {"oxygen", detail::number(reading.oxygen)},
                            {"pressure_pa", detail::number(reading.pressure)},
                            {"oxygen_uncertainty", detail::number(reading.oxygen_uncertainty)},
                            {"pressure_pa_uncertainty", detail::number(reading.pressure_uncertainty)}});
        }
    }
    return list;
}

Json words(const study::Fit& fit, const PageRun& designed, const PageRun& found, const PageHead& head,
           const Units& units) {
    const plant::Plant& plant = designed.plant;
    Json forecasts = Json::array(), confusions = Json::array();
    for (const study::Forecast& f : fit.forecasts) {
        forecasts.push_back({{"name", f.riser},
                             {"met", f.reached > 0.5},
                             {"text", "is " + detail::forecast_text(plant, fit, f) + "."}});
    }
    for (const study::Confusion& c : fit.confusions)
        confusions.push_back(detail::calm(detail::confusion_text(fit, c)));
    Json json = detail::run_words(found, head.friction_resolved, units);
    json["verdict"] = detail::calm(detail::fit_verdict(fit));
    json["met"] = fit.explanations.front().fault.kind == study::FaultKind::none;
    json["lead"] = fmt::format(
        "{} numbers read on site, held against the plant as designed. Sentences, map and "
        "curves below show the plant as the first explanation has it.",
        fit.readings);
    json["explanations"] = explanations_json(plant, fit, units);
    json["estimates"] = estimates_json(plant, fit, units);
    json["confusions"] = confusions;
    json["forecasts"] = forecasts;
    json["interval"] = fmt::format("Data of the plant under the first explanation, with {} intervals",
                                   format_percent(fit.confidence));
    return json;
}

}  // namespace

std::string fit_html(const study::Fit& fit, const std::vector<study::Reading>& readings,
                     const PageRun& designed, const PageRun& found, const PageHead& head) {
    Json json = detail::page_json("fit", "Readings held against the plant", {designed, found}, head);
    json["first_run"] = 1;
    json["readings"] = readings_json(designed.plant, readings);
    json["text"] = detail::in_both(
        head.units, [&](const Units& units) { return words(fit, designed, found, head, units); });
    return detail::document(json, designed.plant.title, fit_text(designed.plant, fit, head.units));
}

}  // namespace oxfade::report
