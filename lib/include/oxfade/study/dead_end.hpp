#pragma once

#include <vector>

#include "oxfade/gas/mixture.hpp"
#include "oxfade/plant/plant.hpp"

namespace oxfade::study {

/// Part of the way from the mouth of a dead end to its farthest end.
struct DeadEndPiece {
    double length = 0.0;  ///< [m], > 0
    double bore = 0.0;    ///< [m], > 0
    double pitch = 0.0;   ///< rise towards the closed end over the length, -1 to 1
    double lines = 1.0;   ///< so many equal ones side by side
    double aside =
        0.0;  ///< volume of what hangs on its far end beside the way [m3], mixed at once with the gas there
};

/// A dead end and the gas that comes to its mouth.
struct DeadEndWay {
    std::vector<DeadEndPiece> pieces;  ///< from the mouth on, at least one
    gas::Mixture product;              ///< at the mouth; the dead end is full of air at the start
    double pressure = 0.0;             ///< [Pa abs]
    double temperature = 0.0;          ///< [K]
    plant::Mixing mixing;              ///< what mixes; the flow is none
};

/// Time [s] in which the share of air in the gas at the closed end falls from 1 to `share`, the product
/// standing at the mouth: molecular diffusion, and buoyant counter-flow where it is switched on, along the
/// way in some 40 cells (model.md section 4). Infinite when it takes longer than `longest`, or where nothing
/// mixes.
/// @param share 0 < share < 1
double washout_time(const DeadEndWay& way, double share, double longest = 3.2e9);

}  // namespace oxfade::study
