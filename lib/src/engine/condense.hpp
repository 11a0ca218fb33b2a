#pragma once

#include <vector>

#include "oxfade/plant/riser.hpp"

namespace oxfade::engine {

/// A riser in which equal pipes side by side, with all that hangs on them, are one pipe with a count.
struct CondensedRiser {
    plant::Riser riser;
    std::vector<std::size_t> place;  ///< of each pipe of the riser as it was given, in this one
};

/// Joins equal pipes that leave the same point, where nothing tells them apart: no vent, sampling point, low
/// point, leak or link names one of them or what hangs on it. Exact: what is equal stays equal.
CondensedRiser condense(const plant::Riser& riser);

}  // namespace oxfade::engine
