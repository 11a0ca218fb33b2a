#pragma once

#include <cstddef>
#include <vector>

#include "oxfade/plant/riser.hpp"

namespace oxfade::plant {

/// Where water can stand in the piping, for it runs off on neither side: a possible trapped section, which
/// needs a drain of its own.
struct LowPlace {
    std::size_t pipe = 0;   ///< it lies at the far end of this pipe
    double depth = 0.0;     ///< how high water can stand there before it runs off [m], > 0
    bool dead_end = false;  ///< nothing hangs on that end
};

/// All low places of a riser, in the order of its pipes: ends that lie lower than all that is joined to them.
/// They follow from the pitches and elevations of the pipes, where none is given from the usual pitch
/// (Riser::pitches). Water runs off through the riser's entry, where its drain is, and to low places that lie
/// deeper. Where a pipe with a `count` has one, every copy has.
std::vector<LowPlace> low_places(const Riser& riser);

}  // namespace oxfade::plant
