#pragma once

#include <array>

#include "engine/simulation.hpp"

/// What a finished run says of its water.
namespace oxfade::engine {

/// Gas beside air and product over a run [mol].
struct WaterAmounts {
    double stored_all = 0.0, gone_all = 0.0;  ///< of it in the gas: change, and through vents and leaks
    std::array<double, gas::species_count> stored{};  ///< change of each, dissolved gas included
    std::array<double, gas::species_count> gone{};    ///< with gas and with water
    double residual = 0.0;                            ///< of the water's own balance, over all water
};
WaterAmounts water_amounts(const Network& net, const Simulation& simulation);

/// Adds what became of a riser's low points, and takes what the water gave out of what was supplied.
void add_water(const Network& net, const Simulation& simulation, int r, outcome::RiserOutcome& out);

}  // namespace oxfade::engine
