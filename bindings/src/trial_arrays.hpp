#pragma once

#include <pybind11/pybind11.h>

#include <cstddef>
#include <vector>

#include "oxfade/engine/ensemble.hpp"

namespace oxfade::python {

/// Headline numbers as NumPy arrays by name: shape (runs,), those of risers (runs, risers). NaN where a time
/// was not reached or a run could not be computed; `error` is a list of texts, empty for runs that were done.
pybind11::dict trial_arrays(const std::vector<engine::Trial>& trials, std::size_t risers);

}  // namespace oxfade::python
