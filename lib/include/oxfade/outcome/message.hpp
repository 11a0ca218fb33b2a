#pragma once

#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace oxfade::outcome {

/// How much a finding matters: good to know, to be looked at, not as asked for.
enum class Level { note, warning, failure };
std::string_view to_string(Level level);  ///< "note", "warning", "failure"

/// Stable codes: scripts may rely on them. The names are written in `code_name`.
enum class Code {
    target_above_purity,    ///< the source cannot give the target
    vents_above_separator,  ///< steady demand exceeds what the separator makes
    air_after_fill,         ///< the source fell back on air after the last fill
    no_way_out,             ///< a riser or branch without a vent
    fill_limit_exceeded,
    riser_never_filled,
    source_empty,
    run_too_short,
    leak_above_acceptance,
    supply_too_small,      ///< the supply orifice cannot hold the set pressure
    vent_never_opens,      ///< a pressure-cycle vent whose `high` is never reached
    target_lost,           ///< the target was met, and lost again before the end
    purity_below_air,      ///< a target or a product with more oxygen than plain air
    temperature_swing,     ///< moves the pressure of shut-in piping by more than an air test allows
    pressure_not_uniform,  ///< pipe friction, which a run leaves out unless asked, is expected to show
    water_blocks,          ///< water at a low point keeps gas from passing
    liquid_stop_shut,      ///< water carried to a vent has shut its liquid stop
    water_lies,            ///< a low point holds water: what it does to the gas
    condensation,          ///< vapour condensed on the walls of pipes
    ice_plug,              ///< water lies where it freezes
    tripped,               ///< a riser tripped, and what came of it
    source_stopped,        ///< the source was stopped by an outage
    valve_shut,            ///< a vent or a supply that was shut by hand is shut still
    readings_mislead,      ///< vents and sampling points read the target long before every part is there
    air_pressure_unusual,  ///< the site's air pressure is one that no place on land has
};
std::string_view code_name(Code code);  ///< "target-above-purity" and so on

/// What a number is, so that a report can choose its unit.
enum class Dimension {
    pressure,
    gauge_pressure,
    standard_flow,
    standard_volume,
    volume,
    time,
    fraction,
    count,
    length,
    temperature,
    temperature_difference,
    day  ///< a moment of the run [s]
};

/// A finding for the engineer. The text is a template: `{0}`, `{1}`, … stand for `values`, which a report
/// prints in the reader's units.
struct Message {
    struct Value {
        double si = 0.0;
        Dimension dimension = Dimension::count;
    };
    Code code = Code::run_too_short;
    Level level = Level::warning;
    std::string where;  ///< riser, pipe, vent or key it is about; of many alike: "branch lines 1 to 22"
    std::string text;
    std::vector<Value> values;
    std::vector<std::string> places{};  ///< each of them, where `where` stands for more than one
};

}  // namespace oxfade::outcome
