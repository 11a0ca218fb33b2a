#include "oxfade/outcome/message.hpp"

namespace oxfade::outcome {

std::string_view to_string(Level level) {
    switch (level) {
        case Level::note:
            return "note";
        case Level::warning:
            return "warning";
        case Level::failure:
            return "failure";
    }
    return "unknown";
}

std::string_view code_name(Code code) {
    switch (code) {
        case Code::target_above_purity:
            return "target-above-purity";
        case Code::vents_above_separator:
            return "vents-above-separator";
        case Code::air_after_fill:
            return "air-after-fill";
        case Code::no_way_out:
            return "no-way-out";
        case Code::fill_limit_exceeded:
            return "fill-limit-exceeded";
        case Code::riser_never_filled:
            return "riser-never-filled";
        case Code::source_empty:
            return "source-empty";
        case Code::run_too_short:
            return "run-too-short";
        case Code::leak_above_acceptance:
            return "leak-above-acceptance";
        case Code::supply_too_small:
            return "supply-too-small";
        case Code::vent_never_opens:
            return "vent-never-opens";
        case Code::target_lost:
            return "target-lost";
        case Code::purity_below_air:
            return "purity-below-air";
        case Code::air_pressure_unusual:
            return "air-pressure-unusual";
        case Code::temperature_swing:
            return "temperature-swing";
        case Code::pressure_not_uniform:
            return "pressure-not-uniform";
        case Code::water_blocks:
            return "water-blocks";
        case Code::liquid_stop_shut:
            return "liquid-stop-shut";
        case Code::water_lies:
            return "water-lies";
        case Code::condensation:
            return "condensation";
        case Code::ice_plug:
            return "ice-plug";
        case Code::tripped:
            return "tripped";
        case Code::source_stopped:
            return "source-stopped";
        case Code::valve_shut:
            return "valve-shut";
        case Code::readings_mislead:
            return "readings-mislead";
    }
    return "unknown";
}

}  // namespace oxfade::outcome
