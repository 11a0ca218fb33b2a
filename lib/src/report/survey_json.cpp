#include "json_support.hpp"
#include "oxfade/report/survey.hpp"

namespace oxfade::report {
namespace {

using detail::Json;
using detail::number;

Json pipe_json(const plant::Pipe& pipe) {
    const plant::Cylinder* cylinder = pipe.geometry();
    return {{"name", pipe.name},
            {"volume_m3", number(pipe.volume())},
            {"bore_m", cylinder != nullptr ? number(cylinder->bore) : Json(nullptr)},
            {"length_m", cylinder != nullptr ? number(cylinder->length) : Json(nullptr)},
            {"cells", pipe.cells}};
}

Json riser_json(const plant::Riser& riser) {
    Json pipes = Json::array();
    for (const plant::Pipe& pipe : riser.pipes) pipes.push_back(pipe_json(pipe));
    return {{"name", riser.name},
            {"volume_m3", number(riser.volume())},
            {"set_pressure_pa", number(riser.set_pressure)},
            {"pipes", pipes}};
}

}  // namespace

std::string survey_json(const plant::Plant& plant, const std::vector<outcome::Message>& findings,
                        const Units& units) {
    Json json = detail::document_head(plant.title);
    json["target_purity"] = number(plant.target);
    json["risers"] = Json::array();
    for (const plant::Riser& riser : plant.risers) json["risers"].push_back(riser_json(riser));
    json["messages"] = detail::messages_json(findings, units);
    return detail::document(json);
}

}  // namespace oxfade::report
