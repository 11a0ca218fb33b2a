#include "report/html/page_data.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "oxfade/engine/predict.hpp"
#include "oxfade/report/json.hpp"
#include "oxfade/report/study_values.hpp"
#include "oxfade/study/parameter.hpp"
#include "oxfade/version.hpp"
#include "report/html/assets.hpp"
#include "report/html/pack.hpp"
#include "report/html/page_words.hpp"
#include "report/html/thinning.hpp"
#include "report/html/validation_summary.hpp"
#include "report/stretches_text.hpp"
#include "report/text_parts.hpp"
#include "study/digest.hpp"

namespace oxfade::report {
namespace detail {
namespace {

constexpr std::size_t least_rows = 60, most_rows = 480;
constexpr std::size_t all_values = 700'000;  ///< of oxygen in a page: 3.7 MB

Json pipe_json(const plant::Riser& riser, std::size_t p, int copies, double pitch) {
    const plant::Pipe& pipe = riser.pipes[p];
    const auto parent = riser.parent_index(p);
    Json json{{"name", pipe.name},
              {"parent", parent ? Json(*parent) : Json(-1)},
              {"volume_m3", number(pipe.volume())},
              {"copies", copies},
              {"pitch", number(pitch)}};
    if (const plant::Cylinder* cylinder = pipe.geometry()) {
        json["bore_m"] = number(cylinder->bore);
        json["length_m"] = number(cylinder->length);
    }
    return json;
}

Json place(const plant::Riser& riser, const std::string& pipe) {
    const auto index = riser.pipe_index(pipe);
    return index ? Json(*index) : Json(-1);
}

Json vents_json(const plant::Riser& riser, const Units& units) {
    Json list = Json::array();
    for (const plant::Vent& vent : riser.vents) {
        list.push_back({{"name", vent.name},
                        {"pipe", place(riser, vent.at)},
                        {"words", in_both(units, [&](const Units& u) { return vent_words(vent, u); })}});
    }
    return list;
}

Json leaks_json(const plant::Riser& riser, const plant::Site& site, const Units& units) {
    Json list = Json::array();
    for (const plant::Leak& leak : riser.leaks) {
        list.push_back(
            {{"pipe", leak.at ? place(riser, *leak.at) : Json(-1)},
             {"words", in_both(units, [&](const Units& u) { return leak_words(leak, riser, site, u); })}});
    }
    return list;
}

Json low_points_json(const plant::Riser& riser, const Units& units) {
    Json list = Json::array();
    for (const plant::LowPoint& point : riser.low_points) {
        list.push_back(
            {{"name", point.name},
             {"pipe", place(riser, point.on)},
             {"words", in_both(units, [&](const Units& u) { return low_point_words(point, u); })}});
    }
    return list;
}

Json samples_json(const plant::Riser& riser) {
    Json list = Json::array();
    for (const plant::SamplingPoint& sample : riser.samples) {
        list.push_back({{"name", sample.name},
                        {"pipe", place(riser, sample.at)},
                        {"distance_m", number(sample.distance)}});
    }
    return list;
}

Json riser_layout(const plant::Riser& riser, const plant::Site& site, const Units& units) {
    Json pipes = Json::array(), links = Json::array();
    const std::vector<int> copies = riser.copies();
    const std::vector<double> pitches = riser.pitches();
    for (std::size_t p = 0; p < riser.pipes.size(); ++p)
        pipes.push_back(pipe_json(riser, p, copies[p], pitches[p]));
    for (const plant::LoopLink& link : riser.links) {
        links.push_back(Json::array({place(riser, link.first), place(riser, link.second)}));
    }
    const bool spread = std::any_of(riser.leaks.begin(), riser.leaks.end(),
                                    [](const plant::Leak& leak) { return !leak.at.has_value(); });
    return {{"name", riser.name},
            {"set_pressure_pa", number(riser.set_pressure)},
            {"volume_m3", number(riser.volume())},
            {"spread_leak", spread},
            {"pipes", pipes},
            {"links", links},
            {"vents", vents_json(riser, units)},
            {"samples", samples_json(riser)},
            {"leaks", leaks_json(riser, site, units)},
            {"low_points", low_points_json(riser, units)}};
}

/// Value of evenly spaced rows at a moment.
double at_time(const outcome::History& history, const std::vector<double>& values, double time) {
    const auto next = std::lower_bound(history.times.begin(), history.times.end(), time);
    if (next == history.times.begin()) return values.front();
    if (next == history.times.end()) return values.back();
    const auto k = static_cast<std::size_t>(next - history.times.begin());
    const double share = (time - history.times[k - 1]) / (history.times[k] - history.times[k - 1]);
    return values[k - 1] + share * (values[k] - values[k - 1]);
}

/// A round stretch of time, some thirty to sixty of which make up a run [s].
double duty_bin(double duration) {
    constexpr double minute = 60.0, hour = 3600.0, day = 24.0 * hour;
    for (const double bin : {minute, 5.0 * minute, 15.0 * minute, 30.0 * minute, hour, 2.0 * hour, 4.0 * hour,
                             12.0 * hour, day, 2.0 * day, 7.0 * day}) {
        if (duration <= 60.0 * bin) return bin;
    }
    return duration / 60.0;
}

/// Shares of time that the machine runs, stretch by stretch; null for cylinders.
Json duty_json(const outcome::Outcome& outcome) {
    const outcome::History& history = outcome.history;
    if (history.running.empty()) return nullptr;
    const double bin = duty_bin(outcome.duration);
    Json nitrogen = Json::array(), air = Json::array();
    for (std::size_t k = 0; bin * static_cast<double>(k) < outcome.duration * (1.0 - 1e-9); ++k) {
        const double begin = bin * static_cast<double>(k), end = std::min(begin + bin, outcome.duration);
        const auto share = [&](const std::vector<double>& values) {
            return (at_time(history, values, end) - at_time(history, values, begin)) / (end - begin);
        };
        const double on_air = share(history.on_air);
        const auto rounded = [](double x) { return std::round(1e4 * std::clamp(x, 0.0, 1.0)) / 1e4; };
        nitrogen.push_back(rounded(share(history.running) - on_air));
        air.push_back(rounded(on_air));
    }
    return {{"bin_s", bin}, {"nitrogen", nitrogen}, {"air", air}};
}

std::vector<double> picked(const std::vector<double>& values, const std::vector<std::size_t>& rows) {
    std::vector<double> some;
    some.reserve(rows.size());
    for (const std::size_t row : rows) some.push_back(values[row]);
    return some;
}

/// States row by row, a digit each.
template <class State>
std::string digits_of(const std::vector<State>& states, std::size_t all_rows,
                      const std::vector<std::size_t>& rows) {
    const std::size_t columns = states.size() / std::max<std::size_t>(1, all_rows);
    std::string digits;
    digits.reserve(columns * rows.size());
    for (const std::size_t row : rows) {
        for (std::size_t c = 0; c < columns; ++c) {
            digits += static_cast<char>('0' + static_cast<int>(states[row * columns + c]));
        }
    }
    return digits;
}

Json history_json(const outcome::History& history, std::size_t values) {
    const std::size_t columns =
        std::max<std::size_t>(1, history.oxygen.columns + history.zone_pressure.columns);
    const auto rows = telling_rows(history, std::clamp(values / columns, least_rows, most_rows));
    Json json{
        {"times_s", picked(history.times, rows)},        {"oxygen", packed(history.oxygen, rows)},
        {"pressure_pa", packed(history.pressure, rows)}, {"supplied_mol", packed(history.supplied, rows)},
        {"vented_mol", packed(history.vented, rows)},    {"leaked_mol", packed(history.leaked, rows)}};
    json["vents"] = digits_of(history.vents, history.times.size(), rows);
    if (!history.zone_of.empty()) {
        json["zone_of"] = history.zone_of;
        json["zone_pressure_pa"] = packed(history.zone_pressure, rows);
    }
    if (history.water.columns > 0) {
        json["water_m3"] = packed(history.water, rows);
        json["passages"] = digits_of(history.passages, history.times.size(), rows);
    }
    return json;
}

/// Puts texts in the places `@NAME@` of a template, and never looks for places in what it has put in.
std::string filled(std::string_view page,
                   const std::vector<std::pair<std::string_view, std::string_view>>& texts) {
    std::string out;
    while (!page.empty()) {
        const auto at = page.find('@');
        out += page.substr(0, at);
        if (at == std::string_view::npos) break;
        page.remove_prefix(at + 1);
        const auto end = page.find('@');
        const std::string_view name = page.substr(0, end);
        const auto text =
            std::find_if(texts.begin(), texts.end(), [&](const auto& entry) { return entry.first == name; });
        if (end == std::string_view::npos || text == texts.end()) {
            out += '@';
            continue;
        }
        out += text->second;
        page.remove_prefix(end + 1);
    }
    return out;
}

/// Nothing but the script and the style that are in the file, by their digests; nothing is fetched or sent.
std::string policy() {
    return fmt::format(
        "default-src 'none'; script-src 'sha256-{}'; style-src 'sha256-{}'; base-uri 'none'; form-action "
        "'none'",
        assets::script_digest, assets::style_digest);
}

/// Dated actions in their order, with words for each.
Json dates_json(const plant::Plant& plant, const Units& units) {
    Json list = Json::array();
    for (const std::size_t k : plant::actions_in_order(plant)) {
        const plant::Action& action = plant.actions[k];
        list.push_back(
            {{"time_s", number(action.at)},
             {"deed", plant::to_string(action.deed)},
             {"riser", action.riser},
             {"what", action.what},
             {"words", in_both(units, [&](const Units& u) { return action_text(plant, action, u); })}});
    }
    return list;
}

}  // namespace

Json plant_json(const plant::Plant& plant, const Units& units) {
    Json risers = Json::array();
    for (const plant::Riser& riser : plant.risers) {
        risers.push_back(riser_layout(riser, plant.site, units));
    }
    return {{"risers", risers}, {"dates", dates_json(plant, units)}};
}

Json run_json(const PageRun& run, std::size_t plant, const Units& units, std::size_t values) {
    return {{"label", run.label},
            {"plant", plant},
            {"result", Json::parse(to_json(run.outcome, units, run.plant.assumed))},
            {"history", history_json(run.outcome.history, values)},
            {"duty", duty_json(run.outcome)}};
}

Json inputs_json(const plant::Plant& plant, const Units& units) {
    Units us = units, si = units;
    us.system = System::us;
    si.system = System::si;
    Json list = Json::array();
    const auto fields = study::fields_of(plant);
    const auto of_weather = [](const study::Field& field) {
        return field.key.find("temperature.table.") != std::string::npos;
    };
    // A year of hours would be most of the page.
    constexpr auto most_weather = 500;
    const bool long_weather = std::count_if(fields.begin(), fields.end(), of_weather) > most_weather;
    for (const study::Field& field : fields) {
        if (long_weather && of_weather(field)) continue;
        list.push_back(Json::array({field.key, format_field(field, us), format_field(field, si)}));
    }
    return list;
}

Json page_json(const char* verb, const char* kind, const std::vector<PageRun>& runs, const PageHead& head) {
    const plant::Plant& plant = runs.front().plant;
    study::detail::Digest digest;
    for (const PageRun& run : runs) digest.add(run.plant);
    Json json;
    json["oxfade"] = version;
    json["verb"] = verb;
    json["kind"] = kind;
    json["file"] = head.file;
    json["digest"] = digest.hex();
    json["title"] = plant.title;
    json["system"] = head.units.system == System::us ? "us" : "si";
    json["site_pressure_pa"] = number(head.units.site_pressure);
    json["reference"] = {{"pressure_pa", number(head.units.reference.pressure)},
                         {"temperature_k", number(head.units.reference.temperature)}};
    json["duration_s"] = number(plant.duration);
    json["target_purity"] = number(plant.target);
    json["plants"] = Json::array();
    json["runs"] = Json::array();
    for (std::size_t k = 0; k < runs.size(); ++k) {
        json["plants"].push_back(plant_json(runs[k].plant, head.units));
        json["runs"].push_back(run_json(runs[k], k, head.units, all_values / runs.size()));
    }
    json["inputs"] = inputs_json(plant, head.units);
    json["trust"] = trust_words(head.friction_resolved);
    json["cautions"] = page_cautions();
    json["validation"] = validation_json(assets::validation);
    json["licence"] = assets::licence;
    return json;
}

std::string document(const Json& data, const std::string& title, const std::string& plain) {
    // In ASCII, so that no line or paragraph separator, nor a byte that is no UTF-8, comes into the script.
    const std::string text =
        script_safe(data.dump(-1, ' ', /*ensure_ascii=*/true, Json::error_handler_t::replace));
    const std::string heading = html_text(title.empty() ? "oxfade report" : title + " - oxfade report");
    return filled(assets::page, {{"POLICY", policy()},
                                 {"VERSION", version},
                                 {"TITLE", heading},
                                 {"STYLE", assets::style},
                                 {"PLAIN", html_text(plain)},
                                 {"DATA", text},
                                 {"SCRIPT", assets::script}});
}

}  // namespace detail

std::size_t page_rows(const plant::Plant& plant) {
    constexpr std::size_t least = 721, most = 10081, values = 4'000'000;
    const auto columns = static_cast<std::size_t>(engine::cell_count(plant));
    return std::clamp(values / columns, least, most);
}

}  // namespace oxfade::report
