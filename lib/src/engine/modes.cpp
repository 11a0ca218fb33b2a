#include "engine/modes.hpp"

#include <fmt/format.h>

#include <boost/container_hash/hash.hpp>

namespace oxfade::engine {

std::size_t number_of(const Modes& modes) {
    std::size_t number = 0;
    boost::hash_combine(number, static_cast<int>(modes.machine));
    for (const RiserMode& riser : modes.risers) {
        boost::hash_combine(number, static_cast<int>(riser.stage));
        boost::hash_combine(number, static_cast<int>(riser.supply));
    }
    for (const VentMode& vent : modes.vents) boost::hash_combine(number, vent.passes());
    for (const SealMode& seal : modes.seals) boost::hash_combine(number, static_cast<int>(seal.seal));
    return number;
}

const char* to_string(Machine mode) {
    switch (mode) {
        case Machine::off:
            return "off";
        case Machine::nitrogen:
            return "on nitrogen";
        case Machine::air:
            return "on air";
        case Machine::delivering:
            return "delivering";
        case Machine::empty:
            return "empty";
    }
    return "?";
}

const char* to_string(Stage stage) {
    switch (stage) {
        case Stage::waiting:
            return "waiting";
        case Stage::filling:
            return "filling";
        case Stage::in_service:
            return "in service";
    }
    return "?";
}

const char* to_string(SupplyMode mode) {
    switch (mode) {
        case SupplyMode::shut:
            return "shut";
        case SupplyMode::wide:
            return "wide open";
        case SupplyMode::hold:
            return "holding";
    }
    return "?";
}

const char* to_string(Seal seal) {
    switch (seal) {
        case Seal::open:
            return "open";
        case Seal::closed:
            return "closed";
        case Seal::behind:
            return "bubbling to the pipe behind it";
        case Seal::before:
            return "bubbling to the pipe before it";
    }
    return "?";
}

std::string describe(const Modes& modes, const std::vector<std::string>& riser_names) {
    std::string text = fmt::format("source {}", to_string(modes.machine));
    for (std::size_t r = 0; r < modes.risers.size(); ++r) {
        text += fmt::format("; riser '{}' {}, supply {}", riser_names[r], to_string(modes.risers[r].stage),
                            to_string(modes.risers[r].supply));
    }
    return text;
}

}  // namespace oxfade::engine
