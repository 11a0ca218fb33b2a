#pragma once

#include <numbers>
#include <stdexcept>

#include "check.hpp"
#include "oxfade/plant/pipe_sizes.hpp"
#include "units.hpp"

namespace oxfade::validation {

/// The row's nominal size and schedule from the library's table.
inline plant::PipeSize pipe_of(const Row& row) {
    const auto size = plant::find_pipe_size(row.text("nominal"), row.text("schedule"));
    if (!size) throw std::runtime_error("no such pipe: " + row.text("nominal") + ' ' + row.text("schedule"));
    return *size;
}

/// Bore in the row's unit, mm or in.
inline double pipe_bore(const Row& row) {
    return pipe_of(row).bore() / (row.text("unit") == "in" ? inch : 1e-3);
}

/// Inside volume per length [m3/m].
inline double pipe_volume(const Row& row) {
    const double bore = pipe_of(row).bore();
    return std::numbers::pi / 4.0 * bore * bore;
}

}  // namespace oxfade::validation
