#pragma once

#include <vector>

#include "page.hpp"

namespace oxfade::report::detail {

/// What one riser's plot shows, one value for each moment.
struct OxygenCurves {
    std::vector<double> times;    ///< [s], rising
    std::vector<double> worst;    ///< largest mole fraction of oxygen in any compartment
    std::vector<double> average;  ///< by volume; may be empty
    double limit = 0.0;           ///< oxygen at target; 0 for none
};

/// Draws oxygen on a logarithmic scale against time in characters. Fewer than two moments draw nothing.
void draw(Page& page, const OxygenCurves& curves);

}  // namespace oxfade::report::detail
