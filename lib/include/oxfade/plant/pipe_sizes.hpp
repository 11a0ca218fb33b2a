#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace oxfade::plant {

/// Dimensions of one steel pipe size.
struct PipeSize {
    std::string_view nominal;   ///< nominal pipe size in inches: "1/2", "1-1/4", "4"
    std::string_view schedule;  ///< "5", "10", "30", "40", or "light"
    double outside_diameter;    ///< [m]
    double wall;                ///< [m]
    int dn = 0;                 ///< the same nominal size by its metric name: 100 for DN100

    double bore() const { return outside_diameter - 2.0 * wall; }
};

/// Inside dimensions for a nominal size in inches ("4", "4 in", "1 1/4", "1-1/4", "1.25 in", "4\"") or by its
/// DN ("DN100", "DN 32"), and a schedule ("10", "Sch 10"). Empty when the table has no such pair. Source:
/// ASME B36.10M, 1/2 to 12 in, schedules 5, 10, 40 and (8 in and up) 30; "light" is the lighter 8 and 10 in
/// wall of sprinkler work.
std::optional<PipeSize> find_pipe_size(std::string_view nominal, std::string_view schedule);

/// Schedules the table holds for a nominal size, written as for find_pipe_size; none for an unknown size.
std::vector<std::string> schedules_of(std::string_view nominal);

/// Every size the table holds, in order of nominal size and schedule.
const std::vector<PipeSize>& all_pipe_sizes();

}  // namespace oxfade::plant
