#pragma once

#include <functional>
#include <limits>
#include <span>
#include <string>
#include <vector>

#include "oxfade/engine/predict.hpp"
#include "oxfade/plant/plant.hpp"

/// Many runs at once, headline numbers only.
namespace oxfade::engine {

/// What one riser did; NaN where a time was not reached.
struct RiserHeadline {
    double fill_time = std::numeric_limits<double>::quiet_NaN();       ///< [s] from the opening of its fill
    double time_to_target = std::numeric_limits<double>::quiet_NaN();  ///< [s] from the start of the run
    double worst_oxygen = 0.0;    ///< highest mole fraction of all compartments at the end
    double final_pressure = 0.0;  ///< [Pa abs]
    double vented = 0.0;          ///< [mol]
    double leaked = 0.0;          ///< [mol]
    bool fill_met = false;
};

/// Headline numbers of one run, or the reason why there are none.
struct Trial {
    std::vector<RiserHeadline> risers;
    double time_to_target =
        std::numeric_limits<double>::quiet_NaN();              ///< of the last riser; NaN unless all are met
    double running = 0.0, on_air = 0.0, air_after_fill = 0.0;  ///< of the source [s]
    double made_nitrogen = 0.0, made_air = 0.0;                ///< [mol]
    int starts = 0;
    double balance = 0.0;  ///< worst relative residual
    std::string error;     ///< empty when the run was done

    bool done() const { return error.empty(); }
};

/// How to run an ensemble.
struct EnsembleOptions {
    Options run;           ///< its history and progress are not used
    unsigned threads = 0;  ///< 0: one per core
    /// Called now and then, within long runs too, from one thread at a time, with the number of finished
    /// runs; return false to stop: what has not been run by then gets the error "stopped on request".
    std::function<bool(std::size_t)> progress;
};

/// Runs every plant. A plant that cannot be computed gets its error and stops no other. The result does not
/// depend on the number of threads.
std::vector<Trial> predict_many(std::span<const plant::Plant> plants, const EnsembleOptions& options = {});

/// The same for plants made one at a time: `plant_at(k)` for k in [0, count) is called from several threads
/// at once and must depend on k alone. What it throws becomes the run's error.
std::vector<Trial> predict_many(std::size_t count, const std::function<plant::Plant(std::size_t)>& plant_at,
                                const EnsembleOptions& options = {});

}  // namespace oxfade::engine
