#pragma once

#include <cstddef>
#include <functional>

#include "oxfade/outcome/outcome.hpp"
#include "oxfade/plant/plant.hpp"

/// Plant -> outcome: the hybrid simulation.
namespace oxfade::engine {

/// How a step between events is taken.
enum class Method {
    linearly_implicit,  ///< Rosenbrock order 3(2); cost linear in the number of compartments
    dormand_prince,     ///< Boost.Odeint's explicit 5(4) pair, to check the other against
};

/// How to compute; the defaults meet model.md section 13.
struct Options {
    Method method = Method::linearly_implicit;
    double relative_tolerance = 1e-6;  ///< local error per step, 1e-12 to 1e-2
    double event_tolerance = 1e-4;     ///< time resolution of events [s], 1e-9 to 1
    /// How many times the usual number of cells pipes get whose cells the engine chooses, 0.05 to 100. 0: so
    /// many that half of them would move no time to target by more than 3 %, at most 4 times the usual
    /// number; how far they do move it is in the outcome (RiserOutcome::space_error_of_time).
    double refinement = 0.0;
    /// Says in Outcome::variations what the days are where something nobody knows exactly is otherwise; not
    /// for runs of more than 8000 cells times days, which take long enough.
    bool vary = false;
    std::size_t history_points = 721;  ///< rows of History, evenly spaced, 0 or 2 to 1 000 000
    bool skip_cycles =
        true;  ///< pass over source cycles that repeat or do not matter; false: resolve every one
    /// A pressure in every compartment, with pipe friction between them (model.md section 5.4, eq. 13), in
    /// place of one pressure a riser: for checking that, and for very long small pipe. Needs bore and length
    /// of every pipe; slower. Supplies and pressure-cycle vents then act on the pressure where gas enters.
    bool resolve_friction = false;
    /// Threads at most, for the run itself, the one with half of its cells and those of `vary`; 0: one a
    /// core. The results are the same bytes whatever it is.
    unsigned threads = 0;
    long max_steps = 200'000'000;  ///< gives up with a ComputationError beyond
    /// Called now and then with the simulated time [s], by the calling thread; return false to stop with a
    /// ComputationError.
    std::function<bool(double)> progress;
};

/// Cells that the plant is cut into.
int cell_count(const plant::Plant& plant, const Options& options = {});

/// Simulates the plant from the opening of the first fill valve to the end of its duration.
/// Throws InputError for an impossible plant or options, ComputationError when the computation fails.
outcome::Outcome predict(const plant::Plant& plant, const Options& options = {});

}  // namespace oxfade::engine
