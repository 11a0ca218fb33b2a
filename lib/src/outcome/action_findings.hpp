#pragma once

#include <optional>
#include <vector>

#include "oxfade/outcome/message.hpp"
#include "oxfade/outcome/outcome.hpp"
#include "oxfade/plant/plant.hpp"

/// Findings about what is done to a plant on a date.
namespace oxfade::outcome {

void find_actions_before(const plant::Plant& plant, std::vector<Message>& out);
void find_actions_after(const plant::Plant& plant, const Outcome& run, std::vector<Message>& out);

/// What was done, and not undone, that keeps a riser from its target at the end; none when nothing does.
std::optional<Code> action_in_the_way(const plant::Plant& plant, std::size_t riser);

/// Whether a riser was on target before it tripped, and has not been since.
bool tripped_since_target(const plant::Plant& plant, const RiserOutcome& riser);

}  // namespace oxfade::outcome
