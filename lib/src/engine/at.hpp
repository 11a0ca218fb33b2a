#pragma once

#include <cstddef>

namespace oxfade::engine {

/// A node, link or riser as the index of a vector.
inline std::size_t at(int i) { return static_cast<std::size_t>(i); }

}  // namespace oxfade::engine
