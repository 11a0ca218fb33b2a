#pragma once

#include <cstddef>

#include "oxfade/plant/plant.hpp"

namespace oxfade::outcome {

/// Beyond this the one pressure of a riser is expected to show in a run's figures.
inline constexpr double uneven_beyond = 0.005;

/// How far one pressure a riser (model.md section 4) is off where pipe friction counts, estimated without a
/// run.
struct Unevenness {
    double fill = 0.0;  ///< gas still missing behind the friction when the pressure where gas enters is at
                        ///< its set value, over the gas that the fill brings in
    double vents =
        0.0;  ///< flow that open vents lack because less pressure stands ahead of them, over that flow

    double worst() const { return fill > vents ? fill : vents; }
};

/// Isothermal flow (model.md eq. 13) of the source's gas along the riser's tree, once with the most that the
/// source and the fill passage bring in as the fill ends, stored by volume, once with what open vents let out
/// at set pressure. Pipes given by volume alone count as wide; loops, which ease the flow, are left out.
/// Needs a valid plant.
Unevenness unevenness(const plant::Plant& plant, std::size_t riser);

}  // namespace oxfade::outcome
