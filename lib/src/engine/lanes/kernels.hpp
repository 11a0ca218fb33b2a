#pragma once

#include "engine/lanes/lane_run.hpp"
#include "engine/lanes/mixing_view.hpp"
#include "engine/lanes/series_view.hpp"
#include "engine/lanes/sweep_view.hpp"

namespace oxfade::engine {

/// The hot arithmetic, compiled for one instruction set.
struct Kernels {
    const char* name;
    // Of one plant: term 0 of the flows, all terms, the move to a time within the step.
    void (*start)(SeriesView<double>&);
    void (*expand)(SeriesView<double>&);
    void (*finish)(SeriesView<double>&, double);
    // The same by implicit steps: see sweep_kernel.hpp.
    void (*sweep_begin)(SweepView&);
    CruiseSurvey (*sweep_survey)(SweepView&, double* link);
    double (*sweep_attempt)(SweepView&, double size);
    void (*sweep_settle)(SweepView&);
    void (*sweep_carry)(SweepView&, double t, double* z, const double* moles, double* exposure);
    // What gas trades between compartments by itself.
    void (*mix)(MixingView&);
    // Of an ensemble: numbers it needs as memory, all of its runs.
    int (*lane_memory)(int nodes);
    void (*run_lanes)(const LaneBatch&);
};

}  // namespace oxfade::engine
