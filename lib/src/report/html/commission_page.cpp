#include "oxfade/report/study_commission.hpp"
#include "oxfade/report/study_values.hpp"
#include "report/html/page_data.hpp"
#include "report/html/page_words.hpp"
#include "report/study_words.hpp"

namespace oxfade::report {
namespace {

using detail::Json;
using study::Step;

Json groups_json(const plant::Plant& plant, const study::Review& review, const Units& units) {
    Json groups = Json::array();
    std::optional<study::StepKind> before;
    for (std::size_t k = 0; k < review.steps.size(); ++k) {
        const Step& step = review.steps[k];
        if (before != step.kind) {
            groups.push_back({{"heading", detail::step_heading(step.kind)},
                              {"instruction", detail::step_instruction(plant, step.kind, units)},
                              {"steps", Json::array()}});
            before = step.kind;
        }
        const auto text = [&](double value) { return format_quantity(value, step.dimension(), units); };
        groups.back()["steps"].push_back(
            {{"label", detail::step_label(step)},
             {"expected", text(step.expected)},
             {"low", text(step.low)},
             {"high", text(step.high)},
             {"measured", step.measured ? Json(text(*step.measured)) : Json(nullptr)},
             {"within", bool(review.within[k])}});
    }
    return groups;
}

/// Oxygen as measured at vents, to be laid over the curves of the pipes they are at.
Json readings_json(const plant::Plant& plant, const study::Review& review) {
    Json list = Json::array();
    for (const Step& step : review.steps) {
        if (step.kind != study::StepKind::oxygen || !step.measured) continue;
        for (std::size_t r = 0; r < plant.risers.size(); ++r) {
            if (plant.risers[r].name != step.riser) continue;
            for (const plant::Vent& vent : plant.risers[r].vents) {
                const auto pipe = plant.risers[r].pipe_index(vent.at);
                if (vent.name != step.vent || !pipe) continue;
                list.push_back({{"time_s", detail::number(step.time)},
                                {"riser", r},
                                {"pipe", *pipe},
                                {"oxygen", detail::number(step.measured)},
                                {"pressure_pa", nullptr},
                                {"oxygen_uncertainty", 0.0},
                                {"pressure_pa_uncertainty", 0.0}});
            }
        }
    }
    return list;
}

Json words(const study::Review& review, const PageRun& designed, const PageHead& head, const Units& units) {
    Json json = detail::run_words(designed, head.friction_resolved, units);
    Json causes = Json::array();
    for (const study::Verdict& verdict : review.verdicts) {
        causes.push_back(detail::verdict_text(designed.plant, verdict, units));
    }
    if (review.measured > 0) {
        json["verdict"] = detail::calm(detail::commission_verdict(review));
        json["met"] = review.verdicts.empty();
    } else {
        json["verdict"] = "What an installer is to see if all is as designed";
        json["met"] = true;
    }
    json["lead"] =
        review.measured > 0
            ? "What was measured, held against what was expected. Sentences below are of the plant as "
              "designed; the curves show the plant as found as well."
            : "To print and fill in. Sentences and curves below are of the plant as designed.";
    json["causes"] = causes;
    json["groups"] = groups_json(designed.plant, review, units);
    return json;
}

}  // namespace

std::string commission_html(const study::Review& review, const std::vector<PageRun>& runs,
                            const PageHead& head) {
    const PageRun& designed = runs.front();
    Json json = detail::page_json("commission", "Commissioning of a nitrogen purge", runs, head);
    json["readings"] = readings_json(designed.plant, review);
    json["text"] =
        detail::in_both(head.units, [&](const Units& units) { return words(review, designed, head, units); });
    const std::string plain = review.measured > 0 ? review_text(designed.plant, review, head.units)
                                                  : sheet_text(designed.plant, review.steps, head.units);
    return detail::document(json, designed.plant.title, plain);
}

}  // namespace oxfade::report
