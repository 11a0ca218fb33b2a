#pragma once

#include <pybind11/pybind11.h>

#include <cstddef>
#include <memory>
#include <optional>

#include "model.hpp"

namespace oxfade::python {

/// Parts of a run as Python sees them: each keeps the whole run alive and copies nothing.
struct RiserView {
    std::shared_ptr<Run> run;
    std::size_t riser = 0;
    const outcome::RiserOutcome& operator*() const { return run->outcome.risers[riser]; }
};
struct PipeView {
    RiserView riser;
    std::size_t pipe = 0;
    const outcome::PipeOutcome& operator*() const { return (*riser).pipes[pipe]; }
};
struct LowPointView {
    RiserView riser;
    std::size_t low_point = 0;
    const outcome::LowPointOutcome& operator*() const { return (*riser).low_points[low_point]; }
};
struct ReadingView {
    RiserView riser;
    std::size_t reading = 0;
    const outcome::Reading& operator*() const { return (*riser).readings[reading]; }
};
struct RemedyView {
    std::shared_ptr<Run> run;
    std::size_t remedy = 0;
    const outcome::Remedy& operator*() const { return run->outcome.remedies[remedy]; }
};
struct RemedyChangeView {
    RemedyView remedy;
    std::size_t change = 0;
    const outcome::RemedyChange& operator*() const { return (*remedy).changes[change]; }
};
/// A stretch of the run between two dates, and what a riser did in it.
struct StretchView {
    std::shared_ptr<Run> run;
    std::size_t stretch = 0;
    const outcome::RunStretch& operator*() const { return run->outcome.stretches[stretch]; }
};
struct RiserStretchView {
    std::shared_ptr<Run> run;
    std::size_t stretch = 0, riser = 0;
    const outcome::RiserStretch& operator*() const { return run->outcome.stretches[stretch].risers[riser]; }
};
struct SourceView {
    std::shared_ptr<Run> run;
    const outcome::SourceOutcome& operator*() const { return run->outcome.source; }
};
struct HistoryView {
    std::shared_ptr<Run> run;
    const outcome::History& operator*() const { return run->outcome.history; }
};

void expose_low_points(pybind11::module_& module);
void expose_readings(pybind11::module_& module);
/// tuple of ReadingRun.
pybind11::tuple riser_readings(const RiserView& riser);
void expose_resolution(pybind11::module_& module);
/// tuple of Variation.
pybind11::tuple run_variations(const Run& run);

/// Whether the place of a riser's leaks decides its time to target; none without variations.
std::optional<bool> leak_place_decides(const RiserView& riser);
void expose_remedies(pybind11::module_& module);
/// tuple of Remedy.
pybind11::tuple run_remedies(const std::shared_ptr<Run>& run);
/// The run's plant with one of its remedies done.
Model with_remedy(const Run& run, const RemedyView& remedy);

void expose_stretches(pybind11::module_& module);
/// tuple of StretchRun.
pybind11::tuple run_stretches(const std::shared_ptr<Run>& run);

/// The run's numbers as nested tuples and lists, and back.
pybind11::tuple outcome_state(const outcome::Outcome& outcome);
outcome::Outcome outcome_from(const pybind11::tuple& state);

}  // namespace oxfade::python
