// Compiled once for every instruction set: see lib/CMakeLists.txt.
#include "engine/lanes/kernels.hpp"
#include "engine/lanes/lane_cycles.hpp"
#include "engine/lanes/lane_fill.hpp"
#include "engine/lanes/lane_pure.hpp"
#include "engine/lanes/mixing_kernel.hpp"
#include "engine/lanes/sweep_kernel.hpp"

namespace oxfade::engine::OXFADE_ISA {
namespace {

int lane_memory(int nodes) {
    const int fill = LaneFill::memory(nodes), cruise = LaneCycles::memory(nodes);
    return lanes * (fill > cruise ? fill : cruise);
}

template <class Stage>
bool carry_through(const LaneBatch& batch) {
    Arena arena(batch.memory);
    return Stage(batch, arena).run();
}

void run_lanes(const LaneBatch& batch) {
    for (;;) {
        bool left = false;
        for (int k = 0; k < batch.count; ++k) {
            const LaneStatus status = batch.runs[k].status;
            left = left || (status != LaneStatus::done && status != LaneStatus::handed_over);
        }
        if (!left) return;
        if (!carry_through<LaneFill>(batch) || !carry_through<LaneCycles>(batch) ||
            !carry_through<LanePure>(batch)) {
            return;
        }
    }
}

}  // namespace

extern const Kernels kernels;  // else it would not be seen outside

const Kernels kernels{
    OXFADE_ISA_NAME,
    [](SeriesView<double>& view) { SeriesKernel<OnePlant>(view).start(); },
    [](SeriesView<double>& view) { SeriesKernel<OnePlant>(view).expand(); },
    [](SeriesView<double>& view, double t) { SeriesKernel<OnePlant>(view).finish(t); },
    [](SweepView& view) { SweepKernel(view).begin(); },
    [](SweepView& view, double* link) { return SweepKernel(view).survey(link); },
    [](SweepView& view, double size) { return SweepKernel(view).attempt(size); },
    [](SweepView& view) { SweepKernel(view).settle(); },
    [](SweepView& view, double t, double* z, const double* moles, double* exposure) {
        SweepKernel(view).carry(t, z, moles, exposure);
    },
    [](MixingView& view) { MixingKernel(view).run(); },
    lane_memory,
    run_lanes,
};

}  // namespace oxfade::engine::OXFADE_ISA
