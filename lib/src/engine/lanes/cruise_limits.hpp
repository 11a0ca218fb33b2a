#pragma once

/// Where the cruise draws its lines: the same for one plant and for lanes of an ensemble. Numbers alone, so
/// that every instruction set may include them (see series_kernel.hpp).
namespace oxfade::engine::cruise_limits {

constexpr double longest_series = 1.0;       ///< in time constants of the fastest compartment
constexpr double longest_pure_series = 2.0;  ///< the same, where only product comes
constexpr double receiver_step = 0.2;        ///< largest relative change of the receiver's content in a step
constexpr double most_series_a_leg = 25.0;   ///< of a source cycle: implicit steps do better then
constexpr double aim_beyond = 1e-2;  ///< a leg is expanded this much beyond its end as a straight line
constexpr double sag_margin =
    1.0 - 1e-3;                        ///< of what a supply passes at least: more asked for is left to steps
constexpr double shortest_leg = 1e-5;  ///< of a source cycle [s]

// Over the relative tolerance:
constexpr double trace = 1e-2;      ///< of the product's own oxygen: air below that is let go
constexpr double little = 10.0;     ///< the same: cycles of the source do not matter for air below that
constexpr double repeats = 1e-4;    ///< two cycles whose compositions differ by less are taken for the same
constexpr double most_error = 0.1;  ///< of compositions after cycles passed over
constexpr double most_phase_error = 10.0;  ///< of those cycles, in periods

constexpr double exact_drift = 1e-7;  ///< of a period: what cycles taken for the same may drift by in all
/// Of what is still to come in all, in air fractions, above which flows change too much for one ratio.
constexpr double most_to_come = 1e-2;
constexpr double most_counting_error = 1e-5;  ///< of a cycle, where cycles are counted from what is drawn

}  // namespace oxfade::engine::cruise_limits
