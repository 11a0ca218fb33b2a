#pragma once

#include <vector>

#include "engine/simulation.hpp"

namespace oxfade::engine {

/// Results of each stretch between the dated actions of a finished run.
std::vector<outcome::RunStretch> stretches_of(const plant::Plant& plant, const Network& net,
                                              const Simulation& simulation);

}  // namespace oxfade::engine
