#pragma once

#include <cstddef>
#include <functional>
#include <vector>

#include "oxfade/engine/predict.hpp"

namespace oxfade::engine {

/// How many threads to take where so many were asked for; 0: one a core.
std::size_t threads_for(unsigned asked);

/// A run with the options given, which differ from those of the others in whom they report to.
using Task = std::function<void(const Options&)>;

/// Does all tasks, as many at once as Options::threads allows; the first one always in this thread. Only this
/// thread calls Options::progress. What one throws, or progress asks for, stops the others, and the first to
/// throw is heard.
void side_by_side(const Options& options, const std::vector<Task>& tasks);

}  // namespace oxfade::engine
