#pragma once

#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "oxfade/outcome/message.hpp"
#include "oxfade/plant/plant.hpp"
#include "oxfade/report/units.hpp"
#include "oxfade/version.hpp"

/// What the JSON writers share. Private, so that no user of the library needs nlohmann's header.
namespace oxfade::report::detail {

using Json = nlohmann::ordered_json;

inline constexpr int format = 1;  // of the keys; a break of them is a new number

/// What every document starts with.
inline Json document_head(const std::string& title) {
    Json json;
    json["oxfade"] = version;
    json["format"] = format;
    json["title"] = title;
    return json;
}

inline Json number(double value) { return std::isfinite(value) ? Json(value) : Json(nullptr); }
inline Json number(const std::optional<double>& value) { return value ? number(*value) : Json(nullptr); }

inline Json standard_m3(double moles, const Units& units) {
    return number(plant::standard_volume(units.reference, moles));
}

inline Json messages_json(const std::vector<outcome::Message>& messages, const Units& units) {
    Json list = Json::array();
    for (const outcome::Message& message : messages) {
        list.push_back({{"code", outcome::code_name(message.code)},
                        {"level", outcome::to_string(message.level)},
                        {"where", message.where},
                        {"text", format_message(message, units)}});
        if (!message.places.empty()) list.back()["places"] = message.places;
    }
    return list;
}

inline Json assumed_json(const std::vector<plant::Assumed>& assumed) {
    Json list = Json::array();
    for (const plant::Assumed& value : assumed)
        list.push_back({{"key", value.key}, {"value", value.value}, {"basis", value.basis}});
    return list;
}

/// Names that are not UTF-8 are mended rather than refused.
inline std::string document(const Json& json) {
    return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace oxfade::report::detail
