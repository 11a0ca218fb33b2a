#include "report/html/page_words.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "oxfade/outcome/findings.hpp"
#include "oxfade/plant/leak_area.hpp"
#include "oxfade/report/study_values.hpp"
#include "oxfade/report/text.hpp"
#include "report/answers.hpp"
#include "report/remedies_text.hpp"
#include "report/text_parts.hpp"
#include "report/variations.hpp"

namespace oxfade::report::detail {
namespace {

using outcome::Dimension;
using outcome::RiserOutcome;

std::string gauge(double pressure, const Units& units) {
    return format_value(pressure, Dimension::gauge_pressure, units);
}

double longest_refill(const RiserOutcome& riser) {
    double longest = 0.0;
    for (const outcome::Stretch& fill : riser.refills) longest = std::max(longest, fill.end - fill.begin);
    return longest;
}

std::string fill_words(const RiserOutcome& riser) {
    const std::string limit = format_time(riser.fill_limit);
    if (!riser.fill_start) return fmt::format("Filling never started (limit {}).", limit);
    if (!riser.fill_time) return fmt::format("Set pressure not reached (limit {}).", limit);
    std::string text = fmt::format("It fills in {}, {} its limit of {}.", format_time(*riser.fill_time),
                                   *riser.fill_time <= riser.fill_limit ? "within" : "over", limit);
    if (riser.refills.empty()) return text;
    const double longest = longest_refill(riser);
    return text + fmt::format(" After a trip it fills again in {}{}{}.",
                              riser.refills.size() > 1 ? "at most " : "", format_time(longest),
                              longest > riser.fill_limit ? ", over that limit" : "");
}

/// The worst cell of a riser at the end.
std::string worst_words(const RiserOutcome& riser) {
    const outcome::PipeOutcome* worst = nullptr;
    double oxygen = -1.0;
    for (const outcome::PipeOutcome& pipe : riser.pipes) {
        for (const double fraction : pipe.oxygen) {
            if (fraction <= oxygen) continue;
            oxygen = fraction;
            worst = &pipe;
        }
    }
    if (worst == nullptr) return "";
    return fmt::format("At the end its worst cell, in '{}', is at {} nitrogen{}.", worst->name,
                       format_purity(1.0 - oxygen), oxygen_error_text(riser.space_error_of_oxygen));
}

std::string sentence(const plant::Plant& plant, const outcome::Outcome& outcome, std::size_t r) {
    const RiserOutcome& riser = outcome.risers[r];
    if (riser.time_to_target) {
        return fmt::format("meets the target {} {} after the start ({}){} and stays there. {}",
                           target_place(plant.target_at), format_time(*riser.time_to_target),
                           format_day(*riser.time_to_target), time_error_text(riser.space_error_of_time),
                           fill_words(riser));
    }
    std::string text = fmt::format("does not meet the target {} within {}", target_place(plant.target_at),
                                   format_time(plant.duration));
    if (riser.not_met_because) text += ": " + reason(*riser.not_met_because);
    text += ". ";
    if (!riser.at_target.empty()) {
        const outcome::Stretch& last = riser.at_target.back();
        text += fmt::format("It did from {} to {}. ", format_day(last.begin), format_day(last.end));
    }
    text += worst_words(riser);
    if (plant.target_at == plant::TargetAt::everywhere) {
        if (const auto likely = outcome::likely_time_to_target(outcome, r))
            text += fmt::format(" At this rate it would be met about {}.", format_day(*likely));
    }
    return text + " " + fill_words(riser);
}

std::size_t on_target(const outcome::Outcome& outcome) {
    return static_cast<std::size_t>(
        std::count_if(outcome.risers.begin(), outcome.risers.end(),
                      [](const RiserOutcome& riser) { return riser.time_to_target.has_value(); }));
}

std::string leak_assumption(const plant::Plant& plant) {
    std::string without;
    std::size_t count = 0;
    for (const plant::Riser& riser : plant.risers) {
        if (!riser.leaks.empty()) continue;
        if (++count <= 3) without += (without.empty() ? "" : ", ") + riser.name;
    }
    if (count == 0) return "Leaks are as given, and steady. A leak that nobody has found is not included.";
    if (count > 3) without += fmt::format(" and {} more", count - 3);
    return fmt::format(
        "No leak is given for {}: taken as tight. A leak, once found, changes gas use and run time.",
        without);
}

std::string source_assumption(const plant::Plant& plant, const Units& units) {
    if (const auto* generator = std::get_if<plant::Generator>(&plant.source)) {
        return fmt::format(
            "The generator makes {} of {} nitrogen at all times, warm or cold, and {} of plain air when it "
            "falls back on air.",
            format_value(generator->nitrogen_flow, Dimension::standard_flow, units),
            format_purity(generator->purity),
            format_value(generator->air_flow, Dimension::standard_flow, units));
    }
    if (const auto* cylinders = std::get_if<plant::Cylinders>(&plant.source)) {
        return fmt::format("The cylinders hold {} of {} nitrogen.",
                           format_value(cylinders->content, Dimension::standard_volume, units),
                           format_purity(cylinders->purity));
    }
    return "The source is a plain compressor: it gives air.";
}

std::string mixing_assumption(const plant::Plant& plant) {
    const plant::Mixing& mixing = plant.mixing;
    if (!mixing.molecular)
        return "Gas moves along pipes with the flow; diffusion is switched off, so that dead ends look worse "
               "than "
               "they will be.";
    std::string text = "Gas moves along pipes with the flow and by diffusion";
    if (mixing.shear) text += ", is spread by the flow itself";
    if (mixing.buoyant) text += ", and heavier gas runs under lighter gas along the pitch of each pipe";
    return text + "; pipes given by volume alone have no such mixing.";
}

/// The pitch of pipes whose pitch is not given.
std::string pitch_assumption(const plant::Plant& plant) {
    const bool any = std::any_of(plant.risers.begin(), plant.risers.end(), [](const plant::Riser& riser) {
        return std::any_of(riser.pipes.begin(), riser.pipes.end(), [](const plant::Pipe& pipe) {
            return pipe.geometry() != nullptr && !pipe.pitch && !pipe.elevation;
        });
    });
    return any ? "Pipes without a pitch in the file are pitched to drain as NFPA 13 has it, far end high: "
                 "branch lines "
                 "1/2 in per 10 ft, mains 1/4 in per 10 ft."
               : "";
}

std::string course_words(const plant::Temperature& temperature, const Units& units) {
    if (temperature.steady()) return format_temperature(temperature.mean(), units) + " throughout";
    return fmt::format("{} to {}", format_temperature(temperature.coldest(), units),
                       format_temperature(temperature.warmest(), units));
}

std::string temperature_assumption(const plant::Plant& plant, const Units& units) {
    const plant::Temperature& site = plant.site.temperature;
    std::string text = site.steady() ? "Gas and pipes are at "
                                     : "Gas and pipes follow the site's temperature at once, from ";
    text += course_words(site, units);
    for (const plant::Riser& riser : plant.risers) {
        if (riser.temperature)
            text += fmt::format("; those of '{}': {}", riser.name, course_words(*riser.temperature, units));
    }
    return text + "; gas is ideal.";
}

std::string water_assumption(const plant::Plant& plant) {
    const bool any = std::any_of(plant.risers.begin(), plant.risers.end(),
                                 [](const plant::Riser& riser) { return !riser.low_points.empty(); });
    return any ? "Trapped water is at the low points given, and nowhere else."
               : "No trapped water is given: at a low point it would close the pipe beyond it and give back "
                 "oxygen.";
}

}  // namespace

std::string vent_words(const plant::Vent& vent, const Units& units) {
    return fmt::format("{} across, {}{}", format_value(vent.orifice.diameter, Dimension::length, units),
                       policy_text(vent.policy, units), vent.liquid_stop ? ", with a liquid stop" : "");
}

std::string low_point_words(const plant::LowPoint& low_point, const Units& units) {
    std::string text = format_value(low_point.water, Dimension::volume, units) + " of water at the start";
    if (const auto* rise = std::get_if<plant::WaterRise>(&low_point.shape)) {
        text += fmt::format(", which gas has to push up {}",
                            format_value(rise->height, Dimension::length, units));
    }
    return text;
}

std::string leak_words(const plant::Leak& leak, const plant::Riser& riser, const plant::Site& site,
                       const Units& units) {
    const double area = plant::leak_area(leak, riser.volume(), site);
    return "leak, " + air_lost_text(area, riser.set_pressure, site, units) + " of air at set pressure";
}

std::string calm(std::string text) {
    const auto colon = text.find(':');
    if (colon == std::string::npos) return text;
    for (std::size_t k = 1; k < colon; ++k) {
        if (text[k] >= 'A' && text[k] <= 'Z') text[k] = static_cast<char>(text[k] - 'A' + 'a');
    }
    return text;
}

std::string verdict(const outcome::Outcome& outcome) {
    const std::size_t all = outcome.risers.size(), met = on_target(outcome);
    double last = 0.0;
    bool fills = true;
    for (const RiserOutcome& riser : outcome.risers) {
        last = std::max(last, riser.time_to_target.value_or(0.0));
        fills = fills && riser.fill_met;
    }
    const std::string target = format_percent(outcome.target);
    std::string text;
    if (met == all) {
        const std::string who = all == 1   ? "The system is"
                                : all == 2 ? "Both systems are"
                                           : fmt::format("All {} systems are", all);
        text = fmt::format("{} at {} nitrogen {} from {} on", who, target, target_place(outcome.target_at),
                           format_day(last));
        return text + (fills ? "." : ", but a fill takes too long.");
    }
    if (all == 1) return fmt::format("The system does not get to {} nitrogen.", target);
    if (met == 0 && all == 2) return fmt::format("Neither system gets to {} nitrogen.", target);
    if (met == 0) return fmt::format("None of the {} systems gets to {} nitrogen.", all, target);
    return fmt::format("{} of {} systems get to {} nitrogen.", met, all, target);
}

Json sentences_json(const plant::Plant& plant, const outcome::Outcome& outcome) {
    Json list = Json::array();
    for (std::size_t r = 0; r < outcome.risers.size(); ++r) {
        const RiserOutcome& riser = outcome.risers[r];
        list.push_back({{"name", riser.name},
                        {"met", riser.time_to_target.has_value() && riser.fill_met},
                        {"text", sentence(plant, outcome, r)}});
    }
    return list;
}

Json asked_json(const plant::Plant& plant, const outcome::Outcome& outcome, const Units& units) {
    Json list = Json::array();
    for (std::size_t r = 0; r < outcome.risers.size(); ++r) {
        const RiserOutcome& riser = outcome.risers[r];
        list.push_back({{"what", fmt::format("{}: {} nitrogen {}", riser.name, format_percent(plant.target),
                                             target_place(plant.target_at))},
                        {"wanted", "by the end, " + format_day(plant.duration)},
                        {"found", riser.time_to_target ? "from " + format_day(*riser.time_to_target) + " on"
                                                       : "not at the end"},
                        {"met", riser.time_to_target.has_value()}});
        list.push_back({{"what", fmt::format("{}: filled to {}", riser.name,
                                             gauge(plant.risers[r].set_pressure, units))},
                        {"wanted", "within " + format_time(riser.fill_limit)},
                        {"found", riser.fill_time
                                      ? "in " + format_time(std::max(*riser.fill_time, longest_refill(riser)))
                                      : "never"},
                        {"met", riser.fill_met}});
    }
    return list;
}

std::vector<std::string> assumptions(const plant::Plant& plant, bool friction_resolved, const Units& units) {
    std::vector<std::string> list;
    list.push_back(source_assumption(plant, units));
    list.push_back(leak_assumption(plant));
    list.push_back(mixing_assumption(plant));
    if (plant.mixing.buoyant) {
        if (std::string pitch = pitch_assumption(plant); !pitch.empty()) list.push_back(std::move(pitch));
    }
    list.push_back(
        friction_resolved
            ? "Pressure falls along the pipes by friction."
            : "One pressure in all of a system; pipe friction is left out, and a finding says where it would "
              "matter.");
    list.push_back(temperature_assumption(plant, units));
    list.push_back("Vents pass gas as clean orifices of the size given.");
    list.push_back(water_assumption(plant));
    for (const std::string& line : assumed_lines(plant.assumed))
        list.push_back("Not in the file, and so assumed: " + line + ".");
    return list;
}

Json findings_json(const std::vector<outcome::Message>& messages, const Units& units) {
    return messages_json(gravest_first(messages), units);
}

std::string trust_words(bool friction_resolved) {
    return fmt::format(
        "Flow laws, gas properties and pipe sizes are checked against published figures, and time courses "
        "against closed solutions, each time this program is tested. Gas is ideal and mixed across each "
        "pipe; "
        "{}. No simulation knows leaks better than a pressure test, or oxygen better than an analyser.",
        friction_resolved ? "pipe friction is resolved" : "pipe friction is left out");
}

std::vector<std::string> page_cautions() {
    std::vector<std::string> list = cautions();
    list.insert(
        list.begin() + 1,
        "Sprinklers are there to save lives. Never hold back pressure, water or an alarm, and never take a "
        "system out of service, because of a simulation.");
    return list;
}

/// When each system is there, by readings, on average and everywhere.
Json answers_json(const outcome::Outcome& outcome) {
    Json list = Json::array();
    for (const RiserOutcome& riser : outcome.risers) {
        Json times = Json::array();
        for (const Answer& answer : answers_of(riser, outcome.target_at)) {
            const std::string error =
                answer.asked ? time_error_text(riser.space_error_of_time) : std::string();
            times.push_back(!answer.known ? std::string("nothing to read")
                            : answer.time ? format_time(*answer.time) + error
                                          : std::string("not met"));
        }
        list.push_back({{"name", riser.name}, {"times", times}});
    }
    return {{"asked", static_cast<int>(outcome.target_at)},
            {"systems", list},
            {"cells", resolution_text(outcome.resolution)}};
}

Json unknowns_json(const outcome::Outcome& outcome, const Units& units) {
    Json lines = Json::array();
    for (const VariationLine& line : variation_lines(outcome, units))
        lines.push_back(Json::array({line.label, line.times}));
    return {{"lines", lines}, {"sentence", leak_place_sentence(outcome)}};
}

Json remedy_words_json(const outcome::Outcome& outcome, const Units& units) {
    Json lines = Json::array();
    for (const RemedyLine& line : remedy_lines(outcome, units))
        lines.push_back(Json::array({line.what, line.times}));
    return {{"lines", lines}, {"cautions", remedy_cautions(outcome)}};
}

Json run_words(const PageRun& run, bool friction_resolved, const Units& units) {
    const plant::Plant& plant = run.plant;
    const outcome::Outcome& outcome = run.outcome;
    return {
        {"verdict", verdict(outcome)},
        {"met", outcome.all_met()},
        {"lead",
         fmt::format("{} simulated from the opening of the first fill valve. Target: {} nitrogen, which is "
                     "at most {} oxygen, {}.",
                     format_time(outcome.duration), format_percent(outcome.target),
                     format_percent(1.0 - outcome.target), target_place(outcome.target_at))},
        {"sentences", sentences_json(plant, outcome)},
        {"answers", answers_json(outcome)},
        {"unknowns", unknowns_json(outcome, units)},
        {"remedies", remedy_words_json(outcome, units)},
        {"asked", asked_json(plant, outcome, units)},
        {"assumptions", assumptions(plant, friction_resolved, units)},
        {"findings", findings_json(outcome.messages, units)}};
}

}  // namespace oxfade::report::detail
