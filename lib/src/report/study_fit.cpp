#include "oxfade/report/study_fit.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "json_support.hpp"
#include "oxfade/version.hpp"
#include "page.hpp"
#include "study_words.hpp"
#include "text_parts.hpp"

namespace oxfade::report {
namespace {

using detail::Json;
using detail::number;
using detail::Page;
using outcome::Dimension;
using study::FaultKind;
using study::Quantity;

constexpr double bad_residual = 4.0;  ///< standard uncertainties that noise does not explain
constexpr std::size_t most_shown = 8;

std::string odds_words(double odds) {
    if (odds < 1.5) return "as likely as the first";
    if (odds > 1e6) return "more than a million to 1 against it";
    return fmt::format("about {} to 1 against it", format_number(odds, odds < 10.0 ? 1 : 2));
}

/// A leak's effective area as the flow of air it passes at the riser's set pressure.
std::string leak_text(const plant::Plant& plant, const std::string& riser, double area, const Units& units) {
    const auto found = std::find_if(plant.risers.begin(), plant.risers.end(),
                                    [&](const plant::Riser& r) { return r.name == riser; });
    const double pressure = found == plant.risers.end() ? plant.site.pressure : found->set_pressure;
    return detail::air_lost_text(area, pressure, plant.site, units);
}

std::string size_text(const plant::Plant& plant, const study::Explanation& explanation, double size,
                      const Units& units) {
    if (explanation.fault.kind == FaultKind::leak)
        return leak_text(plant, plant.risers[explanation.fault.riser].name, size, units);
    if (explanation.fault.kind == FaultKind::low_purity) return format_purity(1.0 - size);
    return format_percent(size);
}

void write_verdict(Page& page, const study::Fit& fit) {
    page.paragraph(detail::fit_verdict(fit));
    if (fit.worst_residual > bad_residual) {
        page.paragraph(
            fmt::format("Even so one reading is off by {} of its standard uncertainties: something else may "
                        "be the matter, or an instrument.",
                        format_number(fit.worst_residual, 2)));
    }
    page.blank();
}

void write_explanations(Page& page, const plant::Plant& plant, const study::Fit& fit, const Units& units) {
    page.heading("Which fault explains this best?", fmt::format("{} numbers read", fit.readings));
    const std::size_t count = std::min(most_shown, fit.explanations.size());
    for (std::size_t k = 0; k < count; ++k) {
        const study::Explanation& e = fit.explanations[k];
        std::string said = "could not be tried: " + e.failure;
        if (e.failure.empty()) {
            const std::string size =
                k < fit.not_told_apart ? detail::fault_size_text(plant, e, units) : std::string();
            said = detail::odds_text(fit, k) + (size.empty() ? "" : "; " + size);
        }
        page.paragraph(fmt::format("{}. {}: {}", k + 1, e.words, said), 2);
    }
    if (fit.explanations.size() > count)
        page.paragraph(fmt::format("and {} more, less likely", fit.explanations.size() - count), 2);
    page.blank();
}

void write_estimates(Page& page, const plant::Plant& plant, const study::Fit& fit, const Units& units) {
    page.heading("The plant as found", fmt::format("{} intervals", format_percent(fit.confidence)));
    for (const study::Estimate& e : fit.estimates) {
        const auto at = [&](double value) { return detail::estimate_text(plant, e, value, units); };
        // More oxygen is less purity: the interval's ends change places.
        const bool turned = e.quantity == Quantity::product_oxygen;
        page.paragraph(fmt::format("{}: {} ({} to {}), given as {}{}", detail::estimate_label(e), at(e.value),
                                   at(turned ? e.high : e.low), at(turned ? e.low : e.high), at(e.designed),
                                   e.narrowed > 0.9 ? "; the readings say next to nothing of it" : ""),
                       2);
    }
    for (const study::Confusion& c : fit.confusions) {
        page.paragraph(detail::confusion_text(fit, c), 2);
    }
    page.blank();
}

void write_forecasts(Page& page, const plant::Plant& plant, const study::Fit& fit) {
    page.heading("Forecast", "by the first explanation");
    for (const study::Forecast& f : fit.forecasts)
        page.labelled(f.riser, detail::forecast_text(plant, fit, f));
    page.blank();
}

const char* kind_name(FaultKind kind) {
    switch (kind) {
        case FaultKind::none:
            return "none";
        case FaultKind::leak:
            return "leak";
        case FaultKind::blocked_vent:
            return "blocked-vent";
        case FaultKind::closed_branch:
            return "closed-branch";
        case FaultKind::dry_low_point:
            return "dry-low-point";
        case FaultKind::low_purity:
            return "low-purity";
        case FaultKind::small_supply:
            return "small-supply";
        case FaultKind::small_source:
            return "small-source";
    }
    return "";
}

const char* quantity_name(Quantity quantity) {
    switch (quantity) {
        case Quantity::vent_coefficient:
            return "vent_coefficient";
        case Quantity::volume:
            return "volume_m3";
        case Quantity::leak:
            return "leak_area_m2";
        case Quantity::product_oxygen:
            return "product_oxygen";
    }
    return "";
}

Json explanation_json(const study::Explanation& e) {
    const bool sized = e.size.has_value();
    return {{"fault", kind_name(e.fault.kind)},
            {"words", e.words},
            {"size", number(e.size)},
            {"size_low", sized ? number(e.size_low) : Json(nullptr)},
            {"size_high", sized ? number(e.size_high) : Json(nullptr)},
            {"misfit", number(e.misfit)},
            {"criterion", number(e.criterion)},
            {"odds_against", number(e.odds_against)},
            {"failure", e.failure.empty() ? Json(nullptr) : Json(e.failure)}};
}

}  // namespace

namespace detail {

std::string fit_verdict(const study::Fit& fit) {
    const study::Explanation& best = fit.explanations.front();
    if (fit.not_told_apart > 1) {
        std::string text = fmt::format("CAN'T TELL: {}", best.words);
        for (std::size_t k = 1; k < fit.not_told_apart; ++k) text += ", or " + fit.explanations[k].words;
        return text + ". These readings do not tell which.";
    }
    const double odds = fit.explanations.size() > 1 ? fit.explanations[1].odds_against : INFINITY;
    return fmt::format(
        "BEST EXPLANATION: {}. {}", best.words,
        odds > 1e6 ? "Nothing else comes near."
                   : fmt::format("Anything else has at least {} to 1 against it.", format_number(odds, 2)));
}

std::string odds_text(const study::Fit& fit, std::size_t explanation) {
    return explanation == 0 ? "the first" : odds_words(fit.explanations[explanation].odds_against);
}

std::string fault_size_text(const plant::Plant& plant, const study::Explanation& explanation,
                            const Units& units) {
    if (!explanation.size) return "";
    const auto at = [&](double size) { return size_text(plant, explanation, size, units); };
    const char* what = explanation.fault.kind == FaultKind::leak         ? "air lost at set pressure"
                       : explanation.fault.kind == FaultKind::low_purity ? "purity"
                                                                         : "what is left of it";
    return fmt::format("{}: {} ({} to {})", what, at(*explanation.size), at(explanation.size_low),
                       at(explanation.size_high));
}

std::string estimate_label(const study::Estimate& estimate) {
    switch (estimate.quantity) {
        case Quantity::vent_coefficient:
            return "vent coefficient of " + estimate.riser;
        case Quantity::volume:
            return "volume of " + estimate.riser;
        case Quantity::leak:
            return "leaks of " + estimate.riser;
        case Quantity::product_oxygen:
            return "source purity";
    }
    return "";
}

std::string estimate_text(const plant::Plant& plant, const study::Estimate& estimate, double value,
                          const Units& units) {
    switch (estimate.quantity) {
        case Quantity::vent_coefficient:
            return format_number(value);
        case Quantity::volume:
            return format_value(value, Dimension::volume, units);
        case Quantity::leak:
            return leak_text(plant, estimate.riser, value, units);
        case Quantity::product_oxygen:
            return format_purity(1.0 - value);
    }
    return "";
}

std::string confusion_text(const study::Fit& fit, const study::Confusion& confusion) {
    return fmt::format(
        "WARNING: the readings can't tell {} from {}: a rise of one is made up for by a {} of the other.",
        estimate_label(fit.estimates[confusion.first]), estimate_label(fit.estimates[confusion.second]),
        confusion.correlation > 0.0 ? "rise" : "fall");
}

std::string forecast_text(const plant::Plant& plant, const study::Fit& fit, const study::Forecast& forecast) {
    const std::string within = "within " + format_time(plant.duration);
    if (forecast.reached == 0.0) return "not on target " + within;
    const std::string share = forecast.reached < 1.0 ? fmt::format("; {} of the draws get there at all",
                                                                   format_percent(forecast.reached))
                                                     : "";
    if (!forecast.middle) return fmt::format("hardly on target {}{}", within, share);
    const std::string band =
        forecast.high ? fmt::format("{} to {}", format_day(*forecast.low), format_day(*forecast.high))
                      : fmt::format("not before {}, and it may be not {}", format_day(*forecast.low), within);
    return fmt::format("on target on {} ({} sure: {}){}", format_day(*forecast.middle),
                       format_percent(fit.confidence), band, share);
}

}  // namespace detail

std::string fit_text(const plant::Plant& plant, const study::Fit& fit, const Units& units) {
    Page page;
    if (!plant.title.empty()) page.paragraph(plant.title);
    page.paragraph(fmt::format("oxfade {}: readings held against the plant as designed", version));
    page.blank();
    write_verdict(page, fit);
    write_explanations(page, plant, fit, units);
    write_estimates(page, plant, fit, units);
    write_forecasts(page, plant, fit);
    detail::write_cautions(page);
    return page.text();
}

std::string fit_json(const plant::Plant& plant, const study::Fit& fit) {
    Json json = detail::document_head(plant.title);
    json["readings"] = fit.readings;
    json["confidence"] = fit.confidence;
    json["explanations"] = Json::array();
    for (const study::Explanation& e : fit.explanations) json["explanations"].push_back(explanation_json(e));
    json["not_told_apart"] = fit.not_told_apart;
    json["worst_residual"] = number(fit.worst_residual);
    json["estimates"] = Json::array();
    for (const study::Estimate& e : fit.estimates) {
        json["estimates"].push_back({{"quantity", quantity_name(e.quantity)},
                                     {"riser", e.riser.empty() ? Json(nullptr) : Json(e.riser)},
                                     {"designed", number(e.designed)},
                                     {"value", number(e.value)},
                                     {"low", number(e.low)},
                                     {"high", number(e.high)},
                                     {"narrowed", number(e.narrowed)}});
    }
    json["confusions"] = Json::array();
    for (const study::Confusion& c : fit.confusions) {
        json["confusions"].push_back(
            {{"first", c.first}, {"second", c.second}, {"correlation", number(c.correlation)}});
    }
    json["forecasts"] = Json::array();
    for (const study::Forecast& f : fit.forecasts) {
        json["forecasts"].push_back({{"riser", f.riser},
                                     {"low_s", number(f.low)},
                                     {"middle_s", number(f.middle)},
                                     {"high_s", number(f.high)},
                                     {"reached", number(f.reached)}});
    }
    return detail::document(json);
}

}  // namespace oxfade::report
