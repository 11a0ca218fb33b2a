#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "oxfade/gas/mixture.hpp"
#include "oxfade/outcome/message.hpp"
#include "oxfade/outcome/remedy.hpp"
#include "oxfade/plant/plant.hpp"

/// Results as immutable values: SI units, times from the start of the run.
namespace oxfade::outcome {

/// A stretch of time [s].
struct Stretch {
    double begin = 0.0, end = 0.0;
};

/// What became of a pipe.
struct PipeOutcome {
    std::string name;
    std::vector<double> oxygen;                         ///< final mole fraction, one per cell
    std::vector<std::optional<double>> time_to_target;  ///< [s], one per cell; none when not met at the end
    /// Over the run, the integral of the oxygen's partial pressure over what it is with as much air there,
    /// one per cell (model.md section 11).
    std::vector<double> oxygen_exposure{};
    int copies = 1;  ///< equal pipes that these numbers are of
    std::vector<double>
        cell_ends{};  ///< far end of each cell, as a fraction of the pipe's length; rises to 1
};

/// What an analyser shows at a vent or a sampling point.
struct Reading {
    std::string name;  ///< of the vent or sampling point
    bool vent = false;
    std::string pipe;
    std::size_t cell = 0;
    double oxygen = 0.0;                   ///< mole fraction at the end
    std::optional<double> time_to_target;  ///< [s], after which it stays there; none when not met at the end
};

/// The most that dissolved oxygen does to the steel under water, on average while it lay there unfrozen
/// (model.md eq. 17). Not a prediction of life.
struct OxygenLimit {
    double time = 0.0;                ///< that it lay there [s]
    double concentration = 0.0;       ///< of oxygen in the water [mol/m3]
    double flux = 0.0;                ///< of oxygen to the steel [mol/(m2 s)]
    double current_density = 0.0;     ///< [A/m2]
    double penetration = 0.0;         ///< [m/s]
    double penetration_on_air = 0.0;  ///< the same with water in balance with air at those pressures [m/s]
};

/// What became of water at a low point.
struct LowPointOutcome {
    std::string name;
    double water_at_start = 0.0, water_at_end = 0.0;  ///< [m3]
    bool closed_at_end = false;                       ///< its water closes the bore, and no gas passes
    bool bubbling_at_end = false;                     ///< its water closes the bore, and gas bubbles through
    double closed_time = 0.0;                         ///< in all [s]
    int breaks = 0;                                   ///< times that gas began to bubble through
    std::optional<double> first_break;                ///< [s]
    std::optional<double> drained_at;                 ///< for the last time [s]
    double carried = 0.0;                             ///< water that went with the gas towards vents [m3]
    std::string stopped_vent;                         ///< the vent whose liquid stop it shut; empty: none
    double stopped_at = 0.0;                          ///< when it did, for the last time [s]
    bool stopped_at_end = false;                      ///< and that is still shut
    double pressure_behind = 0.0;                     ///< at the end [Pa abs]
    std::optional<OxygenLimit> oxygen_limit;          ///< none where no water lay
};

/// What became of a riser.
struct RiserOutcome {
    std::string name;
    std::optional<double> fill_start;  ///< [s]; none when its fill never began
    std::optional<double> fill_time;   ///< [s] from the opening of its fill; none when never filled
    double fill_limit = 0.0;           ///< [s] of each fill
    std::vector<Stretch> refills;      ///< later fills that were completed, after trips
    bool fill_met = false;             ///< all of them within the limit
    /// [s] until what the plant's `target_at` asks for is met, and stays so; none when not met at the end.
    std::optional<double> time_to_target;
    std::vector<Stretch> at_target;  ///< every stretch in which it is met
    /// The same for each thing that may be asked for: all readings (none without vents and sampling points),
    /// the average of the gas, every cell.
    std::optional<double> time_at_readings, time_of_average, time_everywhere;
    std::vector<Reading> readings;  ///< vents, then sampling points, in file order
    double average_oxygen = 0.0;    ///< of the dry gas at the end, mole fraction
    /// How far the cutting into cells may still move the time to target [s], and the highest oxygen fraction
    /// at the end; from a second run on other cells. None where that was not made.
    std::optional<double> space_error_of_time, space_error_of_oxygen;
    std::string limiting_pipe;  ///< last to reach the target, or the worst at the end
    std::size_t limiting_cell = 0;
    std::optional<Code> not_met_because;
    double final_pressure = 0.0;                               ///< [Pa abs]
    double volume = 0.0;                                       ///< [m3]
    double vented = 0.0;                                       ///< [mol] through vents, out less in
    double leaked = 0.0;                                       ///< [mol] through leaks, out less in
    double supplied = 0.0;                                     ///< [mol] through fill and supply
    double lost_in_trips = 0.0;                                ///< [mol] less the air that came in
    double lowest_in_service = 0.0, highest_in_service = 0.0;  ///< pressures after the fill [Pa abs]
    double oxygen_exposure = 0.0;                              ///< of its compartments, on average by volume
    double steady_demand = 0.0;  ///< [mol/s] vents that stand open and leaks at set pressure
    std::vector<PipeOutcome> pipes;
    std::vector<LowPointOutcome> low_points;  ///< in file order
    std::optional<double> dew_point;  ///< of the wettest compartment at the end, below 0 degC the frost
                                      ///< point [K]; none in a plant without low points
    /// What it would be had there been no water, where water is the reason that it is not at target.
    std::optional<double> time_without_water;   ///< time to target [s]
    std::optional<double> worst_without_water;  ///< highest oxygen fraction at the end
    double condensed = 0.0;                     ///< most water on its pipe walls at any time [m3]
};

/// What one riser did between two dated actions.
struct RiserStretch {
    double oxygen_begin = 0.0, oxygen_end = 0.0;  ///< of its worst compartment
    double pressure_end = 0.0;                    ///< [Pa abs]
    double lowest = 0.0, highest = 0.0;           ///< in service [Pa abs]; 0 where it was not
    std::optional<double> fill_time;              ///< [s] of the last fill that was completed
    std::optional<double>
        time_to_target;  ///< [s] from the start of the stretch; none when not met at its end
    double supplied = 0.0, vented = 0.0, leaked = 0.0;  ///< [mol]
};

/// The run from one date with actions to the next.
struct RunStretch {
    double begin = 0.0, end = 0.0;       ///< [s]
    std::vector<plant::Action> actions;  ///< that open it; none for the first
    double running = 0.0, on_air = 0.0;  ///< [s] of the source
    int starts = 0;
    double made_nitrogen = 0.0;  ///< [mol] product made or drawn from cylinders
    std::vector<RiserStretch> risers;
};

/// What the source did over the run.
struct SourceOutcome {
    double running = 0.0;         ///< [s] machine running (nitrogen or air)
    double on_air = 0.0;          ///< [s] of that, separator passed by or plain compressor
    double air_after_fill = 0.0;  ///< [s] on air after the last riser's fill and the first stop after it
    int starts = 0;
    double made_nitrogen = 0.0;              ///< [mol] product made or drawn from cylinders
    double made_air = 0.0;                   ///< [mol]
    std::optional<double> energy;            ///< [J]
    std::optional<double> empty_at;          ///< [s] cylinders empty
    std::optional<double> steady_daily_run;  ///< [s] running per day over the last part of the run
};

/// Moles in - out - stored for each species, over the run.
struct Balance {
    std::array<double, gas::species_count> in{}, out{}, stored_change{};  ///< [mol]
    double worst_relative = 0.0;  ///< largest |in - out - stored| over the moles of all gas handled
};

/// Time series, row-major: value of column c at times[k] is `data[k * columns + c]`.
struct Series {
    std::size_t columns = 0;
    std::vector<double> data;
    double at(std::size_t row, std::size_t column) const { return data[row * columns + column]; }
};

/// What gas passes a low point.
enum class Passage {
    free,      ///< its water, if any, does not close the bore
    bubbling,  ///< its water closes the bore, and gas bubbles through
    none,      ///< its water closes the bore
};

/// How a vent stands.
enum class VentState {
    shut,
    open,
    stopped,  ///< it would be open, but water keeps its liquid stop shut
};

/// The run over time: every series has a row for each of `times`. A row at which something switches says how
/// it was before.
struct History {
    std::vector<double> times;  ///< [s], rising
    Series pressure;            ///< [Pa abs], one column per riser: where gas enters
    Series oxygen;              ///< mole fraction, one column per cell: risers, pipes, cells in file order
    std::vector<double> receiver_pressure;  ///< [Pa abs]; empty for cylinders
    Series supplied, vented, leaked;        ///< [mol] from the start to then, one column per riser
    std::vector<double> running;            ///< [s] that the machine ran by then; empty for cylinders
    std::vector<double> on_air;             ///< [s] of that, on air; empty for cylinders
    /// [Pa abs] of every part of the piping with a pressure of its own: between low points, or each cell
    /// where friction is resolved. No columns where one pressure stands in all of each riser.
    Series zone_pressure;
    std::vector<std::size_t> zone_of;  ///< its column for each column of `oxygen`
    Series water;                      ///< [m3] at each low point: risers, low points in file order
    std::vector<Passage> passages;     ///< row by row, as `water`
    std::vector<VentState> vents;      ///< row by row: risers, vents in file order

    /// Of a compartment, by its column of `oxygen`, which is in a riser [Pa abs].
    double pressure_at(std::size_t row, std::size_t column, std::size_t riser) const {
        return zone_of.empty() ? pressure.at(row, riser) : zone_pressure.at(row, zone_of[column]);
    }
};

/// How the piping was cut into cells.
struct Resolution {
    int cells = 0;           ///< in all of the plant
    int pipes_as_given = 0;  ///< pipes with `cells` of the user's
    int compared_with = 0;   ///< cells of the second run that the error is estimated from; 0: none was made
};

/// What the days to the target are where something nobody knows exactly is otherwise.
struct Variation {
    enum class What { leaks_at_entry, leaks_at_far_ends, mouth, warm_end };
    What what = What::leaks_at_entry;
    double value = 0.0;  ///< of `mixing.mouth` [bores] or `mixing.warm_end` [K]; unused for leaks
    /// Of each riser [s]; none: not met within the duration.
    std::vector<std::optional<double>> time_to_target;
};

/// What the engine did.
struct Effort {
    long steps = 0, rejected = 0, events = 0;
    double wall_time = 0.0;  ///< [s]
};

/// All that a run gives; what `engine::predict` returns.
struct Outcome {
    std::string title;
    double duration = 0.0;                                    ///< [s]
    double target = 0.0;                                      ///< purity
    plant::TargetAt target_at = plant::TargetAt::everywhere;  ///< what has to read it
    double nitrogen_purity = 0.0;
    std::vector<RiserOutcome> risers;
    SourceOutcome source;
    Balance balance;
    std::vector<RunStretch> stretches;  ///< of a plant with actions; else none
    Resolution resolution;
    std::vector<Variation> variations;  ///< empty unless asked for
    std::vector<Remedy> remedies;       ///< empty unless looked for (study/remedies.hpp)
    std::vector<Message> messages;
    History history;
    Effort effort;

    /// Column of `history.oxygen` that holds the far end of a pipe.
    std::size_t last_column(std::size_t riser, std::size_t pipe) const;

    /// True when every fill limit and the target are met on every riser.
    bool all_met() const;
};

}  // namespace oxfade::outcome
