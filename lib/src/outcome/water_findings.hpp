#pragma once

#include <optional>
#include <vector>

#include "oxfade/outcome/message.hpp"
#include "oxfade/outcome/outcome.hpp"
#include "oxfade/plant/plant.hpp"

/// Findings about water at low points.
namespace oxfade::outcome {

void find_water_before(const plant::Plant& plant, std::size_t riser, std::vector<Message>& out);
void find_water_after(const plant::Plant& plant, const Outcome& outcome, std::size_t riser,
                      std::vector<Message>& out);

/// The low point that keeps a riser's worst compartment from being purged: on its way to where gas enters,
/// shut or with gas bubbling through at the end, or the one whose water shuts a vent.
std::optional<std::size_t> blocking_low_point(const plant::Plant& plant, const Outcome& outcome,
                                              std::size_t riser);

}  // namespace oxfade::outcome
