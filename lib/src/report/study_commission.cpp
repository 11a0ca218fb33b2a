#include "oxfade/report/study_commission.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "json_support.hpp"
#include "oxfade/outcome/duty.hpp"
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
using outcome::Dimension;
using study::Cause;
using study::StepKind;

constexpr double blocked = 0.05;  ///< share of a vent's area below which it is called blocked

std::string value_text(const study::Step& step, double value, const Units& units) {
    return format_quantity(value, step.dimension(), units);
}

std::string days_text(double time) {
    return time < 86400.0 ? format_time(time) : format_number(time / 86400.0) + " d";
}

std::string range_text(const study::Step& step, const Units& units) {
    return value_text(step, step.low, units) + " to " + value_text(step, step.high, units);
}

template <class Last>
void write_steps(Page& page, const plant::Plant& plant, const std::vector<study::Step>& steps,
                 const Units& units, const Last& last) {
    std::optional<StepKind> before;
    for (std::size_t k = 0; k < steps.size(); ++k) {
        const study::Step& step = steps[k];
        if (before != step.kind) {
            if (before) page.blank();
            page.heading(detail::step_heading(step.kind));
            page.paragraph(detail::step_instruction(plant, step.kind, units), 2);
            page.line(fmt::format("  {:<28} {:>10}  {:<22}  {}", "", "expected", "well within", "measured"));
            before = step.kind;
        }
        page.line(fmt::format("  {:<28} {:>10}  {:<22}  {}", detail::shortened(detail::step_label(step), 28),
                              value_text(step, step.expected, units), range_text(step, units), last(k)));
    }
    page.blank();
}

std::string area_flow(const plant::Plant& plant, const study::Verdict& verdict, const Units& units) {
    const auto riser = std::find_if(plant.risers.begin(), plant.risers.end(),
                                    [&](const plant::Riser& r) { return r.name == verdict.riser; });
    return detail::air_lost_text(verdict.size, riser->set_pressure, plant.site, units);
}

std::string restricted_text(const study::Verdict& verdict) {
    if (verdict.size < blocked)
        return fmt::format(
            "'{}' of '{}' is blocked: it passes no more than {} of what it should. Or water has "
            "closed the way to it.",
            verdict.vent, verdict.riser, format_percent(blocked));
    return fmt::format(
        "'{}' of '{}' passes {} of what it should: it is partly blocked, or drilled to {} of its "
        "diameter.",
        verdict.vent, verdict.riser, format_percent(verdict.size), format_percent(std::sqrt(verdict.size)));
}

const char* cause_name(Cause cause) {
    switch (cause) {
        case Cause::compressor_weak:
            return "compressor-weak";
        case Cause::air_flow_off:
            return "air-flow-off";
        case Cause::separator_off:
            return "separator-off";
        case Cause::purity_off:
            return "purity-off";
        case Cause::fill_explained:
            return "fill-explained";
        case Cause::fill_slow:
            return "fill-slow";
        case Cause::fill_fast:
            return "fill-fast";
        case Cause::leak:
            return "leak";
        case Cause::vent_restricted:
            return "vent-restricted";
        case Cause::vent_large:
            return "vent-large";
        case Cause::oxygen_unexplained:
            return "oxygen-unexplained";
    }
    return "";
}

bool is_cause(const study::Verdict& verdict) { return verdict.cause != Cause::fill_explained; }

void write_verdicts(Page& page, const plant::Plant& plant, const study::Review& review, const Units& units) {
    page.paragraph(detail::commission_verdict(review));
    int count = 0;
    for (const study::Verdict& v : review.verdicts) {
        if (is_cause(v))
            page.paragraph(fmt::format("{}. {}", ++count, detail::verdict_text(plant, v, units)), 2);
    }
    for (const study::Verdict& v : review.verdicts) {
        if (!is_cause(v)) page.paragraph(detail::verdict_text(plant, v, units), 2);
    }
}

void write_title(Page& page, const plant::Plant& plant, const char* what) {
    if (!plant.title.empty()) page.paragraph(plant.title);
    page.paragraph(fmt::format("oxfade {}: {}", version, what));
    page.blank();
}

}  // namespace

namespace detail {

std::string commission_verdict(const study::Review& review) {
    if (review.verdicts.empty()) {
        return fmt::format("MET: all {} measured values are as they should be ({} lines are open).",
                           review.measured, review.steps.size() - review.measured);
    }
    const auto causes = std::count_if(review.verdicts.begin(), review.verdicts.end(), is_cause);
    return fmt::format("NOT MET: {} likely cause{}.", causes, causes > 1 ? "s" : "");
}

const char* step_heading(StepKind kind) {
    switch (kind) {
        case StepKind::charge:
            return "Compressor";
        case StepKind::rise:
            return "Separator";
        case StepKind::purity:
            return "Purity";
        case StepKind::fill:
            return "Fills";
        case StepKind::hold:
            return "Pressure hold";
        case StepKind::oxygen:
            return "First days";
    }
    return "";
}

std::string step_label(const study::Step& step) {
    switch (step.kind) {
        case StepKind::charge:
            return "Receiver charge on air";
        case StepKind::rise:
            return "Receiver rise on nitrogen";
        case StepKind::purity:
            return "Purity at the source";
        case StepKind::fill:
            return "Fill of " + step.riser;
        case StepKind::hold:
            return "Pressure lost by " + step.riser;
        case StepKind::oxygen:
            return fmt::format("{}, {}, {}", days_text(step.time), step.riser, step.vent);
    }
    return "";
}

std::string step_instruction(const plant::Plant& plant, StepKind kind, const Units& units) {
    const auto gauge = [&](double pressure) {
        return format_value(pressure, Dimension::gauge_pressure, units);
    };
    const plant::Receiver* receiver = plant::receiver_of(plant.source);
    const outcome::AcceptanceTest test;
    switch (kind) {
        case StepKind::charge:
            return fmt::format("Separator passed by, receiver empty: time it to {}.", gauge(receiver->stop));
        case StepKind::rise:
            return fmt::format("On nitrogen, nothing drawn: time the receiver from {} to {}.",
                               gauge(receiver->start), gauge(receiver->stop));
        case StepKind::purity:
            return "Analyser at the source's outlet once it has run warm: 100 % less the oxygen shown.";
        case StepKind::fill:
            return "In this order, the receiver full before the first: time each from opening the fill to "
                   "its set "
                   "pressure.";
        case StepKind::hold:
            return fmt::format("On air, shut off at {} for {}, vents shut; at most {} may be lost (NFPA 13).",
                               gauge(plant.site.pressure + test.gauge_pressure), format_time(test.duration),
                               format_value(test.loss_allowed, Dimension::pressure, units));
        case StepKind::oxygen:
            return "Analyser at each vent, so long after the first fill was begun.";
    }
    return "";
}

std::string verdict_text(const plant::Plant& plant, const study::Verdict& v, const Units& units) {
    const std::string size = format_percent(v.size);
    const std::string volume = v.other ? format_percent(*v.other) : std::string("another part");
    switch (v.cause) {
        case Cause::compressor_weak:
            return fmt::format("The compressor delivers {} of its rated flow, on air and nitrogen alike.",
                               size);
        case Cause::air_flow_off:
            return fmt::format(
                "On air the source delivers {} of its rated flow; on nitrogen it does as it should.", size);
        case Cause::separator_off:
            return fmt::format("The separator makes {} of its rated nitrogen flow.", size);
        case Cause::purity_off:
            return fmt::format("The source's purity is {}. The target of {} {} be reached with it.",
                               format_purity(v.size), format_purity(plant.target),
                               v.size > plant.target ? "can" : "can NOT");
        case Cause::fill_explained:
            return fmt::format("'{}' fills off its time just as the causes above say.", v.riser);
        case Cause::fill_slow:
            return fmt::format(
                "'{}' fills too slowly: its fill passage passes {} of what it should (a valve not wide "
                "open, a clogged strainer), or its piping has {} of the volume given.",
                v.riser, size, volume);
        case Cause::fill_fast:
            return fmt::format(
                "'{}' fills too fast: its piping has {} of the volume given, or a part of it is shut off.",
                v.riser, volume);
        case Cause::leak:
            return fmt::format(
                "'{}' leaks {} of air at its set pressure; the loss in the test is {} of what is "
                "allowed: it {}.",
                v.riser, area_flow(plant, v, units), format_percent(v.other.value_or(0.0)),
                v.other.value_or(0.0) > 1.0 ? "does NOT pass" : "passes, but is more than was counted on");
        case Cause::vent_restricted:
            return restricted_text(v);
        case Cause::vent_large:
            return fmt::format("'{}' of '{}' passes {} of what it should: drilled to {} of its diameter.",
                               v.vent, v.riser, size, format_percent(std::sqrt(v.size)));
        case Cause::oxygen_unexplained:
            return fmt::format(
                "No size of '{}' of '{}' explains the oxygen read there: look for a dip with water, or "
                "ask `oxfade fit`.",
                v.vent, v.riser);
    }
    return "";
}

}  // namespace detail

std::string sheet_text(const plant::Plant& plant, const std::vector<study::Step>& sheet, const Units& units) {
    Page page;
    write_title(page, plant, "commissioning sheet, what is expected if all is as designed");
    write_steps(page, plant, sheet, units, [](std::size_t) { return "__________"; });
    page.paragraph("By: ______________________   Date: ______________   Analyser: ________________");
    page.blank();
    detail::write_cautions(page);
    return page.text();
}

std::string sheet_csv(const std::vector<study::Step>& sheet, const Units& units) {
    std::string text = "step,riser,vent,time,expected,low,high,measured\n";
    for (const study::Step& step : sheet) {
        const auto value = [&](double si) { return value_text(step, si, units); };
        text += fmt::format("{},{},{},{},{},{},{},\n", study::step_name(step.kind), csv_field(step.riser),
                            csv_field(step.vent), step.time > 0.0 ? days_text(step.time) : "",
                            value(step.expected), value(step.low), value(step.high));
    }
    return text;
}

std::string review_text(const plant::Plant& plant, const study::Review& review, const Units& units) {
    Page page;
    write_title(page, plant, "commissioning, what was measured held against what was expected");
    write_verdicts(page, plant, review, units);
    page.blank();
    write_steps(page, plant, review.steps, units, [&](std::size_t k) -> std::string {
        const study::Step& step = review.steps[k];
        if (!step.measured) return "-";
        return value_text(step, *step.measured, units) + (review.within[k] ? "" : " !");
    });
    detail::write_cautions(page);
    return page.text();
}

std::string review_json(const plant::Plant& plant, const study::Review& review, const Units& units) {
    Json json = detail::document_head(plant.title);
    json["steps"] = Json::array();
    for (std::size_t k = 0; k < review.steps.size(); ++k) {
        const study::Step& step = review.steps[k];
        json["steps"].push_back({{"step", study::step_name(step.kind)},
                                 {"riser", step.riser.empty() ? Json(nullptr) : Json(step.riser)},
                                 {"vent", step.vent.empty() ? Json(nullptr) : Json(step.vent)},
                                 {"time_s", step.time > 0.0 ? number(step.time) : Json(nullptr)},
                                 {"expected", number(step.expected)},
                                 {"low", number(step.low)},
                                 {"high", number(step.high)},
                                 {"measured", number(step.measured)},
                                 {"within", step.measured ? Json(bool(review.within[k])) : Json(nullptr)}});
    }
    json["verdicts"] = Json::array();
    for (const study::Verdict& v : review.verdicts) {
        json["verdicts"].push_back({{"cause", cause_name(v.cause)},
                                    {"riser", v.riser.empty() ? Json(nullptr) : Json(v.riser)},
                                    {"vent", v.vent.empty() ? Json(nullptr) : Json(v.vent)},
                                    {"size", number(v.size)},
                                    {"other", number(v.other)},
                                    {"text", detail::verdict_text(plant, v, units)}});
    }
    return detail::document(json);
}

}  // namespace oxfade::report
