#pragma once

#include <cstddef>
#include <vector>

namespace oxfade::engine {

/// The inverse of a square matrix of `size` rows, both row by row: for the few loops of a riser. The matrix
/// must be regular.
std::vector<double> dense_inverse(const std::vector<double>& matrix, std::size_t size);

}  // namespace oxfade::engine
