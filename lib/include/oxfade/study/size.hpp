#pragma once

#include <cstddef>
#include <functional>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "oxfade/plant/plant.hpp"

namespace oxfade::study {

/// What is wanted, and what there is to choose from.
struct SizeOptions {
    std::vector<double> drills;  ///< diameters that can be had [m], > 0; one for all vents of a riser
    /// Sources that can be had, by their nitrogen flow [standard m3/s], > 0; air flow and power keep the
    /// plant's proportion to it. Empty: 37 sizes from a sixteenth to four times the plant's, in even ratios.
    std::vector<double> flows;
    std::optional<double> by;       ///< every riser on target by then [s], > 0; none: the plant's duration
    double margin = 0.1;            ///< of every limit that is kept free, 0 to 0.9
    std::vector<double> deadlines;  ///< of the trade-off curve [s]; empty: from 0.4 to 3 times `by`
    double relative_tolerance = 1e-6;
    /// Called now and then, within long runs too, with the number of runs so far; return false to stop with
    /// an Error.
    std::function<bool(std::size_t)> progress;
};

/// A limit that a design must keep.
enum class Limit { none, target, fill, separator };
std::string_view limit_name(Limit limit);  ///< "none", "target", "fill", "separator"

/// A source with a drill for each riser, and how far it uses up each limit: 1 is the limit itself.
struct Design {
    double nitrogen_flow = 0.0;  ///< [standard m3/s]
    double air_flow = 0.0;       ///< [standard m3/s]
    std::vector<double> drills;  ///< [m] for each riser; NaN for one without vents
    double time_to_target = std::numeric_limits<double>::quiet_NaN();  ///< [s], of the last riser
    double target_use = 0.0, fill_use = 0.0, separator_use = 0.0;
};

/// Why a source is too small, whatever the drills.
struct Obstacle {
    Limit limit = Limit::none;
    std::string riser;  ///< where; empty for the separator
};

/// The best design for a deadline; none when no source of the list will do.
struct TradeOff {
    double deadline = 0.0;  ///< [s]
    std::optional<Design> design;
};

/// The smallest source and vents that do, what keeps them from being smaller, and the trade-off.
struct SizeResult {
    double by = 0.0;               ///< [s]
    std::optional<Design> design;  ///< smallest source, with the smallest drills that do
    /// What the next smaller source cannot keep: the limit that binds. Without a design, what the largest
    /// cannot; `none` when the smallest of the list will do.
    Obstacle binding;
    std::optional<double> next_smaller;  ///< nitrogen flow of that source [standard m3/s]
    std::vector<TradeOff> curve;
    std::size_t runs = 0;  ///< made for it
    std::optional<double>
        space_error;  ///< how far the cutting into cells may still move the design's time [s]
};

/// The smallest source, and for it the smallest vents, that bring every riser to target in time, fill each
/// within its limit, and never ask more than the separator makes (so that the source never falls back on air
/// once all are full), each with the margin to spare.
///
/// Relies on that: a riser purges faster through a larger vent of its own and not faster through larger vents
/// of others, and a larger source is worse at nothing.
/// Throws InputError for impossible options, or a plant whose source is no generator.
SizeResult size(const plant::Plant& plant, const SizeOptions& options);

/// The plant with a source of that nitrogen flow and these drills (NaN: left alone).
plant::Plant sized_plant(const plant::Plant& plant, double nitrogen_flow, const std::vector<double>& drills);

/// How far a sized plant uses up its limits over a run of `duration` [s], target wanted by then.
Design assess(const plant::Plant& sized, double by, double duration, double relative_tolerance = 1e-6);

}  // namespace oxfade::study
