#pragma once

#include <cstddef>
#include <functional>
#include <vector>

#include "oxfade/outcome/outcome.hpp"

namespace oxfade::report::detail {

/// Rows of curves over rising times, both ends included, that keep their shape best when joined by straight
/// lines: of all segments the one that a curve leaves farthest is cut there, over and over (Douglas and
/// Peucker, Cartographica 10, 1973, taken from the worst segment on).
/// @param value of a curve in a row; all curves count alike
/// @param most rows to keep, at least 2
std::vector<std::size_t> shape_rows(const std::vector<double>& times, std::size_t curves,
                                    const std::function<double(std::size_t row, std::size_t curve)>& value,
                                    std::size_t most);

/// At most about `most` rows of a history: a third each for the shape of oxygen (its logarithm), for the
/// shape of pressures, and evenly in time; and up to a third more where water opens or closes a way.
std::vector<std::size_t> telling_rows(const outcome::History& history, std::size_t most);

}  // namespace oxfade::report::detail
