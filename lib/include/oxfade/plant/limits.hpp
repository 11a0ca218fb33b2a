#pragma once

/// What a plant may be at most, or at least: beyond, a unit or a count was mistaken, or memory and time would
/// run away. Every limit is refused with a message that names it (plant::find_problems); lib/limits.md lists
/// them.
namespace oxfade::plant::limits {

inline constexpr double duration = 50.0 * 365.25 * 86400.0;  ///< simulated time [s]
inline constexpr int cells = 10'000;                         ///< compartments of a pipe
inline constexpr int compartments = 20'000;                  ///< of all pipes of all risers
inline constexpr int count = 1'000;                          ///< equal pipes side by side (`count`)
inline constexpr double copies = 1e6;                        ///< cells of the plant with all copies counted
inline constexpr int branch_lines = 1'000;                   ///< branch lines of a row
inline constexpr double openings = 2e6;           ///< of a timed vent in the run; each costs some steps
inline constexpr double openings_of_parts = 1e9;  ///< openings of all timed vents times compartments: work
inline constexpr double narrowest_band = 1e-4;    ///< distance of two switching pressures, part of the higher

inline constexpr double part_volume = 1e-6;  ///< least volume of a compartment [m3]: 1 mL
inline constexpr double part_length = 1e-3;  ///< least length of a compartment [m]
inline constexpr double water = 1e-9;        ///< least water of a low point [m3]: 0.001 mL
inline constexpr double machine_run = 1.0;   ///< least time from `start` to `stop` with nothing drawn off [s]
inline constexpr double air_run = 1e-3;      ///< the same of a generator on air [s]
inline constexpr double emptying = 1e-5;     ///< least time in which a hole empties its riser [s]
inline constexpr double exchange_rate = 1e3;  ///< exchange between compartments, of a compartment's gas [1/s]
inline constexpr double joint_step = 0.3048;  ///< in height between two ends that are joined [m]: 1 ft
inline constexpr double mouth = 20.0;         ///< stirred depth of a dead end (`mixing.mouth`) [bores]
inline constexpr double warm_end = 10.0;      ///< of `mixing.warm_end`, either way [K]

}  // namespace oxfade::plant::limits
