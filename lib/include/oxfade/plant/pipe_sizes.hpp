#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace oxfade::plant {

/// Dimensions of one steel pipe size.
struct PipeSize {
    std::string_view nominal;   ///< nominal pipe size in inches: "1/2", "1-1/4", "4"
    std::string_view schedule;  ///< "5", "10", "40", or a light-wall name
    double outside_diameter;    ///< [m]
    double wall;                ///< [m]

    double bore() const { return outside_diameter - 2.0 * wall; }
};

/// Inside dimensions for a nominal size (inches, for example "4", "1 1/4", "1-1/4", "1.25") and schedule.
/// Empty when the table has no such pair. Source: ASME B36.10M; light-wall rows as noted in the table.
std::optional<PipeSize> find_pipe_size(std::string_view nominal, std::string_view schedule);

/// Every size the table holds, in order of nominal size and schedule.
const std::vector<PipeSize>& all_pipe_sizes();

}  // namespace oxfade::plant
