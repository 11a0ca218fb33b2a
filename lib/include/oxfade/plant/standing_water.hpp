#pragma once

#include <cstddef>

#include "oxfade/flow/dip.hpp"
#include "oxfade/plant/riser.hpp"

namespace oxfade::plant {

/// How the water of a riser's low point stands at the start of a run. Needs a valid riser.
flow::DipWater standing_water(const Riser& riser, std::size_t low_point);

/// The low point on the link from a pipe back to the one it hangs on, if there is one.
std::optional<std::size_t> low_point_on(const Riser& riser, std::size_t pipe);

}  // namespace oxfade::plant
