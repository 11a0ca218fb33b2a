#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "oxfade/outcome/message.hpp"
#include "oxfade/outcome/outcome.hpp"
#include "oxfade/plant/plant.hpp"

namespace oxfade::outcome {

/// What an engineer should know before running: needs a valid plant only.
std::vector<Message> findings_before(const plant::Plant& plant);

/// What an engineer should know of a finished run, the findings before it included.
std::vector<Message> findings_after(const plant::Plant& plant, const Outcome& outcome);

/// Why a riser is not at target at the end; none when it is.
std::optional<Code> reason_not_met(const plant::Plant& plant, const Outcome& outcome, std::size_t riser);

/// Pipes behind which there is no vent and that no loop passes by: the first of each such branch.
std::vector<std::size_t> dead_branches(const plant::Riser& riser);

/// When the worst compartment of a riser would be at target if its oxygen went on falling as over the last
/// fifth of the run [s]; none where the trend does not lead there.
std::optional<double> likely_time_to_target(const Outcome& outcome, std::size_t riser);

}  // namespace oxfade::outcome
