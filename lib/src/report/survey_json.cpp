#include <cstddef>

#include "json_support.hpp"
#include "oxfade/report/survey.hpp"
#include "study_checkup.hpp"

namespace oxfade::report {
namespace {

using detail::Json;
using detail::number;
using detail::standard_m3;

Json pipe_json(const plant::Pipe& pipe) {
    const plant::Cylinder* cylinder = pipe.geometry();
    return {{"name", pipe.name},
            {"volume_m3", number(pipe.volume())},
            {"bore_m", cylinder != nullptr ? number(cylinder->bore) : Json(nullptr)},
            {"length_m", cylinder != nullptr ? number(cylinder->length) : Json(nullptr)},
            {"count", pipe.count},
            {"cells", pipe.cells ? Json(*pipe.cells) : Json(nullptr)}};
}

Json riser_json(const plant::Riser& riser, const outcome::RiserDuty& duty, const Units& units) {
    Json pipes = Json::array();
    for (const plant::Pipe& pipe : riser.pipes) pipes.push_back(pipe_json(pipe));
    return {{"name", riser.name},
            {"volume_m3", number(riser.volume())},
            {"set_pressure_pa", number(riser.set_pressure)},
            {"fill_limit_s", number(riser.fill_limit)},
            {"fill_estimate_s", number(duty.fill_estimate)},
            {"vents_open_std_m3_per_s", standard_m3(duty.vents_open, units)},
            {"vents_average_std_m3_per_s", standard_m3(duty.vents_average, units)},
            {"leaks_std_m3_per_s", standard_m3(duty.leaks, units)},
            {"test_loss_pa", number(duty.test_loss)},
            {"pipes", pipes}};
}

}  // namespace

std::string survey_json(const plant::Plant& plant, const Survey& survey, const Units& units) {
    Json json = detail::document_head(plant.title);
    json["target_purity"] = number(plant.target);
    json["risers"] = Json::array();
    for (std::size_t r = 0; r < plant.risers.size(); ++r) {
        json["risers"].push_back(riser_json(plant.risers[r], survey.duty.risers.at(r), units));
        if (r < survey.checkup.sizes.size())
            json["risers"].back()["size_step"] = detail::size_step_json(survey.checkup.sizes[r]);
    }
    json["demand_std_m3_per_s"] = standard_m3(survey.duty.demand, units);
    json["separator_std_m3_per_s"] =
        survey.duty.separator ? standard_m3(*survey.duty.separator, units) : Json(nullptr);
    json["margin"] = number(survey.checkup.margin);
    json["dead_ends"] = detail::dead_ends_json(survey.checkup);
    json["assumed"] = detail::assumed_json(plant.assumed);
    json["messages"] = detail::messages_json(survey.findings, units);
    return detail::document(json);
}

}  // namespace oxfade::report
