#pragma once

#include <cstddef>
#include <vector>

#include "oxfade/outcome/findings.hpp"

namespace oxfade::outcome {

/// What keeps a riser from its target, and what could be taken for its being met.
void find_target_after(const Outcome& outcome, std::size_t riser, std::vector<Message>& out);

}  // namespace oxfade::outcome
