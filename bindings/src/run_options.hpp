#pragma once

#include <optional>

#include "model.hpp"
#include "oxfade/engine/predict.hpp"

namespace oxfade::python {

/// How a plant is computed: the tolerance asked for, else the plant's own, else the default; its refinement.
engine::Options run_options(const Model& model, std::optional<double> relative_tolerance,
                            bool resolve_friction = false);

}  // namespace oxfade::python
