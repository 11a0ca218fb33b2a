#pragma once

#include <cstddef>
#include <functional>
#include <string>
#include <vector>

#include "oxfade/outcome/message.hpp"
#include "oxfade/plant/riser.hpp"

/// What is the same at many places, said once.
namespace oxfade::outcome {

/// Names as one text: "branch lines 1 to 22" for numbers in a row, "a, b and c" for others, and beyond
/// `most` entries "a, b, c and 4 more".
std::string name_list(const std::vector<std::string>& names, std::size_t most = 4);

/// What people call the line that begins with a pipe: a branch line in pieces by the name of all of it, and
/// equal ones with their number, "sprigs (22 equal)".
std::string line_name(const plant::Riser& riser, std::size_t pipe);

/// Indices 0 to count - 1 in groups of those that are the same, in the order of each group's first.
/// @param same equivalence of two indices
std::vector<std::vector<std::size_t>> groups_of(std::size_t count,
                                                const std::function<bool(std::size_t, std::size_t)>& same);

/// True for numbers that print alike in three digits; for two infinite or two unknown ones as well.
bool prints_alike(double a, double b);

/// One message for all that differ in nothing but `where`; their places are listed in `places`. The order is
/// that of the first of each group.
std::vector<Message> grouped(const std::vector<Message>& messages);

}  // namespace oxfade::outcome
