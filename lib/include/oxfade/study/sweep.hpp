#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "oxfade/plant/plant.hpp"
#include "oxfade/study/sobol.hpp"
#include "oxfade/study/spread.hpp"

namespace oxfade::study {

/// What to run.
struct SweepOptions {
    std::vector<Axis> axes;         ///< every combination of their values is a point of the grid
    std::vector<Unknown> unknowns;  ///< drawn anew for each run, the same draws at every point
    std::size_t runs = 1000;        ///< at each point when there are unknowns, 2 to 10 000 000
    std::uint64_t seed = 20240501;  ///< of the draws: the same seed gives the same numbers everywhere
    std::optional<double> within;   ///< wanted time to target [s], > 0; none: the plant's duration
    double relative_tolerance = 1e-6;
    unsigned threads = 0;         ///< 0: one per core
    std::filesystem::path store;  ///< finished runs are kept in this file and taken up again; empty: none
    /// Called now and then with the numbers of finished runs and of all; return false to stop, which throws
    /// Error and leaves finished runs in the store.
    std::function<bool(std::size_t, std::size_t)> progress;
};

/// What is kept of one run; NaN for times not reached.
struct SweepRun {
    double time_to_target = std::numeric_limits<double>::quiet_NaN();  ///< [s], of the last riser
    double longest_fill = std::numeric_limits<double>::quiet_NaN();    ///< [s]; NaN unless all were filled
    double air_after_fill = 0.0;                                       ///< [s]
    double running = 0.0;                                              ///< [s]
    double nitrogen = 0.0;                                             ///< [mol]
    bool fills_met = false;
    std::string error;  ///< empty when the run was done
};

/// An order statistic with the 90 % confidence interval that its sample size leaves. None where the target
/// was not met in that share of runs.
struct Percentile {
    double share = 0.0;
    std::optional<double> value, low, high;
};

/// One combination of axis values.
struct SweepPoint {
    std::vector<double> values;           ///< of the axes
    std::size_t runs = 0;                 ///< that were done
    std::size_t failed = 0;               ///< that could not be computed
    std::string failure;                  ///< why, of the first of them
    std::size_t met = 0;                  ///< on target at the end
    std::size_t met_within = 0;           ///< on target in the wanted time
    std::size_t fills_met = 0;            ///< all risers filled within their limits
    std::size_t on_air = 0;               ///< fell back on air after the fills
    std::vector<Percentile> percentiles;  ///< of the time to target: 10, 50, 90 %
    std::vector<SobolIndex> indices;      ///< of the time to target, one per unknown; see `sweep`
    double mean_nitrogen = 0.0;           ///< [mol]
    double mean_running = 0.0;            ///< [s]
};

/// What a sweep found, with every run it made.
struct SweepResult {
    std::vector<Axis> axes;
    std::vector<Unknown> unknowns;
    std::vector<SweepPoint> points;  ///< the last axis runs fastest
    std::vector<SweepRun> runs;      ///< point by point
    std::size_t runs_per_point = 0;
    std::size_t resumed = 0;  ///< of the runs, taken from the store
    std::uint64_t seed = 0;
    double within = 0.0;                                      ///< [s]
    plant::TargetAt target_at = plant::TargetAt::everywhere;  ///< what the target asks for
    /// How far the cutting into cells may still move the time to target of the plant as given [s].
    std::optional<double> space_error;
};

/// Runs a plant with values set along axes, or drawn from distributions, or both. With two or more unknowns
/// the runs follow a SobolDesign, so that their number is rounded down to whole rows of it; every run is a
/// draw from the spread, and counts in the percentiles. In the indices a run that is not on target at its end
/// counts as just met there.
///
/// With a store, runs are appended to it as they finish; a later call with the same plant and options takes
/// them up and computes the others, to exactly the same result. A last line cut short by a crash is dropped.
/// Throws InputError for impossible options, and when the store belongs to other inputs; FileError when it
/// cannot be read or written; Error when stopped by `progress`.
SweepResult sweep(const plant::Plant& plant, const SweepOptions& options);

/// The plant of one run of a sweep, and the values it was given (axes first).
plant::Plant sweep_plant(const plant::Plant& plant, const SweepOptions& options, std::size_t run);
std::vector<double> sweep_values(const SweepOptions& options, std::size_t run);

/// How many runs a sweep makes at each point, and in all.
std::size_t runs_per_point(const SweepOptions& options);
std::size_t runs_in_all(const SweepOptions& options);

}  // namespace oxfade::study
