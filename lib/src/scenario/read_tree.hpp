#pragma once

#include <toml++/toml.h>
#include <string>
#include <vector>

#include "oxfade/scenario/read.hpp"
#include "scenario/takeoff/place.hpp"

namespace oxfade::scenario::detail {

/// Reads and checks a scenario whose takeoffs are in the tree.
/// @param problems found before; told together with what is found now
Scenario read_tree(const toml::table& tree, const std::string& name, PlacedTakeoffs takeoffs,
                   std::vector<Problem> problems);

}  // namespace oxfade::scenario::detail
