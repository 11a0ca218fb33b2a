#pragma once

#include <span>

#include "engine/lanes/kernels.hpp"

namespace oxfade::engine {

/// Kernels for the instruction sets that this machine has and the library was built for, the best one last.
std::span<const Kernels* const> all_kernels();
inline const Kernels& best_kernels() { return *all_kernels().back(); }

}  // namespace oxfade::engine
