#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace oxfade::scenario::detail {

/// What a unit measures. `other` is everything without an entry of its own.
enum class Kind {
    ratio,
    length,
    area,
    volume,
    time,
    speed,
    acceleration,
    frequency,
    mass,
    amount,
    temperature,
    pressure,
    force,
    energy,
    power,
    volume_flow,
    mass_flow,
    molar_flow,
    charge,
    current,
    voltage,
    capacitance,
    other
};

/// In words, with its article: "a pressure", "an electric charge".
std::string_view to_string(Kind kind);

/// A unit's meaning in SI: value = scale * number + offset.
struct Unit {
    Kind kind = Kind::other;
    double scale = 1.0;
    double offset = 0.0;
};

/// Looks a unit up in the UDUNITS-2 database; empty when it has no such unit.
/// Safe to call from several threads: UDUNITS keeps global state, so one lock guards every use of it; its
/// messages are silenced and the C locale holds meanwhile. Throws Error when the database cannot be loaded.
std::optional<Unit> find_unit(const std::string& udunits_text);

}  // namespace oxfade::scenario::detail
