#pragma once

#include <cstddef>
#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "scenario/takeoff/hanging.hpp"
#include "scenario/takeoff/rows.hpp"

namespace oxfade::scenario::detail {

/// Where something of the scenario stands in the takeoff.
struct PlacedCell {
    std::string list;       ///< of the riser: `pipe`, `branch_lines`, …
    std::size_t entry = 0;  ///< in that list
    std::string inner;      ///< `length`, `pieces.0.length`; empty for the entry as a whole
    int line = 0;           ///< of the takeoff
    std::string heading;    ///< of the cell; empty for the row as a whole
    std::string cell;       ///< as it stands there
};

/// The piping of one system, as a scenario file has it.
struct SystemPiping {
    std::string name;
    int line = 0;      ///< of its first row
    std::string toml;  ///< `[[riser.pipe]]` and other lists, to stand below a `[[riser]]`
    std::vector<PlacedCell> cells;
    std::size_t rows = 0;
    std::vector<std::string> groups;            ///< names of rows of branch lines
    std::map<std::string, std::size_t> row_of;  ///< rows of pipes that are no branch lines of such rows
    std::set<std::string> no_lines;             ///< those of rows marked as something else than a branch line
    std::vector<std::string> drains;            ///< pipes with a drain or low point
    std::vector<std::string> near_misses;
    bool marked_vents = false;  ///< some vent is only ticked
    bool us_units = false;
};

/// Writes the piping of one system out of its rows, and how they hang on each other.
void write_piping(const Sheet& sheet, const std::vector<const TakeoffRow*>& rows, const Hanging& hanging,
                  RowFaults& faults, SystemPiping& system);

/// All systems of a takeoff, in the order of their first rows. What is wrong goes to the faults; then what is
/// given back is not to be used.
std::vector<SystemPiping> read_systems(const Sheet& sheet, const TakeoffSettings& settings,
                                       RowFaults& faults);

}  // namespace oxfade::scenario::detail
