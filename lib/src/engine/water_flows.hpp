#pragma once

#include <array>
#include <vector>

#include "engine/layout.hpp"

namespace oxfade::engine {

/// What passes between the water of one low point and the gas before it (side 0) and behind it (side 1), and
/// how that changes with the state. Counts positive into the gas [mol/s].
struct SpotFlows {
    std::array<int, 2> node{};
    std::array<double, 2> vapour{}, by_vapour{}, by_water{};
    std::array<std::array<double, 2>, 2> gas{};  ///< by trace (oxygen, nitrogen) and side
    std::array<double, 2> release{};             ///< share of what is dissolved that goes out a second [1/s]
    double free_share = 1.0;                     ///< of the bore, left for gas
};

/// The part of the flows that only plants with water have.
struct WaterFlows {
    // One entry a zone.
    std::vector<double> pressure, pressure_rate;  ///< [Pa], [Pa/s]
    std::vector<double> draught, draught_slope;   ///< as in Flows::OfRiser
    std::vector<double> out;                      ///< to the outside [mol/s]
    // One entry a node.
    std::array<std::vector<double>, Layout::traces> fraction;  ///< of all gas in the node
    std::array<std::vector<double>, Layout::traces> source;    ///< out of water and film [mol/s]
    std::vector<double> film, film_by_vapour,
        film_by_film;  ///< vapour off the condensed film, and its slopes
    std::vector<SpotFlows> spots;

    double source_sum(int node) const {
        double sum = 0.0;
        for (const auto& trace : source) sum += trace[static_cast<std::size_t>(node)];
        return sum;
    }
};

}  // namespace oxfade::engine
