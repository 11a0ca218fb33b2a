#include "oxfade/report/json.hpp"

#include <cstddef>

#include "answers.hpp"
#include "json_support.hpp"
#include "oxfade/report/exposure.hpp"
#include "remedies_text.hpp"
#include "variations.hpp"

namespace oxfade::report {
namespace {

using detail::Json;
using detail::number;
using detail::standard_m3;

constexpr double joules_per_kwh = 3.6e6;

Json pipe_json(const outcome::PipeOutcome& pipe) {
    Json oxygen = Json::array();
    for (const double fraction : pipe.oxygen) oxygen.push_back(number(fraction));
    Json times = Json::array();
    for (const std::optional<double>& time : pipe.time_to_target) times.push_back(number(time));
    Json exposure = Json::array();
    for (const double value : pipe.oxygen_exposure) exposure.push_back(number(value));
    return {{"name", pipe.name}, {"copies", pipe.copies},     {"cell_ends", pipe.cell_ends},
            {"oxygen", oxygen},  {"time_to_target_s", times}, {"oxygen_exposure", exposure}};
}

Json final_json(const outcome::RiserOutcome& riser) {
    Json pipes = Json::array();
    for (const outcome::PipeOutcome& pipe : riser.pipes) pipes.push_back(pipe_json(pipe));
    return {{"pressure_pa", number(riser.final_pressure)}, {"pipes", pipes}};
}

Json stretches_json(const std::vector<outcome::Stretch>& stretches) {
    Json list = Json::array();
    for (const outcome::Stretch& stretch : stretches) {
        list.push_back(Json::array({number(stretch.begin), number(stretch.end)}));
    }
    return list;
}

Json oxygen_limit_json(const std::optional<outcome::OxygenLimit>& limit) {
    if (!limit) return nullptr;
    return {{"wet_s", number(limit->time)},
            {"dissolved_oxygen_mol_per_m3", number(limit->concentration)},
            {"oxygen_flux_mol_per_m2_s", number(limit->flux)},
            {"current_a_per_m2", number(limit->current_density)},
            {"penetration_m_per_s", number(limit->penetration)},
            {"penetration_on_air_m_per_s", number(limit->penetration_on_air)}};
}

Json low_points_json(const std::vector<outcome::LowPointOutcome>& low_points) {
    Json list = Json::array();
    for (const outcome::LowPointOutcome& water : low_points) {
        Json json;
        json["name"] = water.name;
        json["water_start_m3"] = number(water.water_at_start);
        json["water_end_m3"] = number(water.water_at_end);
        json["closed_at_end"] = water.closed_at_end;
        json["bubbling_at_end"] = water.bubbling_at_end;
        json["closed_s"] = number(water.closed_time);
        json["breaks"] = water.breaks;
        json["first_break_s"] = number(water.first_break);
        json["drained_s"] = number(water.drained_at);
        json["carried_m3"] = number(water.carried);
        json["stopped_vent"] = water.stopped_vent.empty() ? Json(nullptr) : Json(water.stopped_vent);
        json["stopped_at_end"] = water.stopped_at_end;
        json["pressure_behind_pa"] = number(water.pressure_behind);
        json["oxygen_limit"] = oxygen_limit_json(water.oxygen_limit);
        list.push_back(std::move(json));
    }
    return list;
}

Json riser_json(const outcome::Outcome& outcome, std::size_t index, const Units& units) {
    const outcome::RiserOutcome& riser = outcome.risers[index];
    Json json;
    json["name"] = riser.name;
    json["volume_m3"] = number(riser.volume);
    json["fill_start_s"] = number(riser.fill_start);
    json["fill_time_s"] = number(riser.fill_time);
    json["fill_limit_s"] = number(riser.fill_limit);
    json["fill_met"] = riser.fill_met;
    if (!riser.refills.empty()) json["refills_s"] = stretches_json(riser.refills);
    json["time_to_target_s"] = number(riser.time_to_target);
    json["at_target_s"] = stretches_json(riser.at_target);
    json["time_at_readings_s"] = number(riser.time_at_readings);
    json["time_of_average_s"] = number(riser.time_of_average);
    json["time_everywhere_s"] = number(riser.time_everywhere);
    json["average_oxygen"] = number(riser.average_oxygen);
    json["readings"] = detail::readings_json(riser);
    json["space_error_of_time_s"] = number(riser.space_error_of_time);
    json["space_error_of_oxygen"] = number(riser.space_error_of_oxygen);
    json["leak_place_decides"] =
        outcome.variations.empty() ? Json(nullptr) : Json(detail::leak_place_decides(outcome, index));
    json["limiting_pipe"] = riser.limiting_pipe;
    json["limiting_cell"] = riser.limiting_cell + 1;
    json["not_met_because"] =
        riser.not_met_because ? Json(outcome::code_name(*riser.not_met_because)) : Json(nullptr);
    json["lowest_in_service_pa"] = number(riser.lowest_in_service);
    json["highest_in_service_pa"] = number(riser.highest_in_service);
    json["supplied_std_m3"] = standard_m3(riser.supplied, units);
    json["vented_std_m3"] = standard_m3(riser.vented, units);
    json["leaked_std_m3"] = standard_m3(riser.leaked, units);
    if (riser.lost_in_trips != 0.0) json["lost_in_trips_std_m3"] = standard_m3(riser.lost_in_trips, units);
    json["steady_demand_std_m3_per_s"] = standard_m3(riser.steady_demand, units);
    json["oxygen_exposure"] = number(riser.oxygen_exposure);
    json["final"] = final_json(riser);
    if (riser.low_points.empty()) return json;
    json["low_points"] = low_points_json(riser.low_points);
    json["dew_point_k"] = number(riser.dew_point);
    json["condensed_m3"] = number(riser.condensed);
    json["time_to_target_without_water_s"] = number(riser.time_without_water);
    return json;
}

Json action_json(const plant::Action& action) {
    Json json = {{"at_s", number(action.at)}, {"do", std::string(plant::to_string(action.deed))}};
    if (!action.riser.empty()) json["riser"] = action.riser;
    if (!action.what.empty()) json["what"] = action.what;
    if (action.deed == plant::Deed::set) {
        json["key"] = action.key;
        json["value_si"] = number(action.value);
    }
    if (action.deed == plant::Deed::trip) json["for_s"] = number(action.duration);
    return json;
}

Json riser_stretch_json(const outcome::RiserStretch& riser, const std::string& name, const Units& units) {
    Json json;
    json["name"] = name;
    json["oxygen_begin"] = number(riser.oxygen_begin);
    json["oxygen_end"] = number(riser.oxygen_end);
    json["time_to_target_s"] = number(riser.time_to_target);
    json["fill_time_s"] = number(riser.fill_time);
    json["pressure_end_pa"] = number(riser.pressure_end);
    json["lowest_in_service_pa"] = number(riser.lowest);
    json["highest_in_service_pa"] = number(riser.highest);
    json["supplied_std_m3"] = standard_m3(riser.supplied, units);
    json["vented_std_m3"] = standard_m3(riser.vented, units);
    json["leaked_std_m3"] = standard_m3(riser.leaked, units);
    return json;
}

Json stretches_json(const outcome::Outcome& outcome, const Units& units) {
    Json list = Json::array();
    for (const outcome::RunStretch& stretch : outcome.stretches) {
        Json json;
        json["begin_s"] = number(stretch.begin);
        json["end_s"] = number(stretch.end);
        json["actions"] = Json::array();
        for (const plant::Action& action : stretch.actions) json["actions"].push_back(action_json(action));
        json["risers"] = Json::array();
        for (std::size_t r = 0; r < stretch.risers.size(); ++r)
            json["risers"].push_back(riser_stretch_json(stretch.risers[r], outcome.risers[r].name, units));
        json["source"] = {{"running_s", number(stretch.running)},
                          {"air_s", number(stretch.on_air)},
                          {"starts", stretch.starts},
                          {"nitrogen_std_m3", standard_m3(stretch.made_nitrogen, units)}};
        list.push_back(json);
    }
    return list;
}

Json source_json(const outcome::SourceOutcome& source, double nitrogen_purity, const Units& units) {
    Json json;
    json["purity"] = number(nitrogen_purity);
    json["running_s"] = number(source.running);
    json["air_s"] = number(source.on_air);
    json["air_after_fill_s"] = number(source.air_after_fill);
    json["starts"] = source.starts;
    json["nitrogen_std_m3"] = standard_m3(source.made_nitrogen, units);
    json["air_std_m3"] = standard_m3(source.made_air, units);
    json["energy_kwh"] = source.energy ? number(*source.energy / joules_per_kwh) : Json(nullptr);
    json["empty_at_s"] = number(source.empty_at);
    json["steady_daily_run_s"] = number(source.steady_daily_run);
    return json;
}

Json species_json(const std::array<double, gas::species_count>& moles) {
    Json json;
    for (std::size_t s = 0; s < gas::species_count; ++s)
        json[std::string(gas::species_name[s])] = number(moles[s]);
    return json;
}

Json balance_json(const outcome::Balance& balance) {
    return {{"worst_relative", number(balance.worst_relative)},
            {"in_mol", species_json(balance.in)},
            {"out_mol", species_json(balance.out)},
            {"stored_change_mol", species_json(balance.stored_change)}};
}

}  // namespace

std::string to_json(const outcome::Outcome& outcome, const Units& units,
                    const std::vector<plant::Assumed>& assumed) {
    Json json = detail::document_head(outcome.title);
    json["duration_s"] = number(outcome.duration);
    json["target_purity"] = number(outcome.target);
    json["target_at"] = std::string(detail::target_at_name(outcome.target_at));
    json["all_met"] = outcome.all_met();
    json["resolution"] = detail::resolution_json(outcome.resolution);
    json["risers"] = Json::array();
    for (std::size_t r = 0; r < outcome.risers.size(); ++r)
        json["risers"].push_back(riser_json(outcome, r, units));
    json["source"] = source_json(outcome.source, outcome.nitrogen_purity, units);
    if (!outcome.stretches.empty()) json["stretches"] = stretches_json(outcome, units);
    if (!outcome.remedies.empty()) json["remedies"] = detail::remedies_json(outcome);
    if (!outcome.variations.empty()) json["variations"] = detail::variations_json(outcome);
    json["exposure_assumptions"] = exposure_assumptions(outcome);
    json["balance"] = balance_json(outcome.balance);
    json["assumed"] = detail::assumed_json(assumed);
    json["messages"] = detail::messages_json(outcome.messages, units);
    return detail::document(json);
}

}  // namespace oxfade::report
