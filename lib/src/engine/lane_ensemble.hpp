#pragma once

#include <functional>
#include <span>

#include "engine/network.hpp"
#include "oxfade/engine/ensemble.hpp"

namespace oxfade::engine {

struct Kernels;

/// A run of an ensemble, on its way through the lanes.
struct LaneJob {
    const plant::Plant* plant = nullptr;
    const Network* net = nullptr;
    Trial* trial = nullptr;
    bool finished = false;  ///< false afterwards: to be run on its own
};

/// True when the lanes know all that the plant does: one riser without loops and mixing, behind a regulator
/// and a generator, its vents always open, and nothing done to it on a date.
bool suits_lanes(const plant::Plant& plant, const Network& net, const Options& options);

/// Runs plants that suit the lanes several at a time, in vectors of one entry a plant. What a plant gets does
/// not depend on the others. `go_on` is asked now and then; false leaves the rest unfinished.
void run_in_lanes(std::span<LaneJob> jobs, const Options& options, const std::function<bool()>& go_on);
void run_in_lanes(std::span<LaneJob> jobs, const Options& options, const std::function<bool()>& go_on,
                  const Kernels& kernels);

}  // namespace oxfade::engine
