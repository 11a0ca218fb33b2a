#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "scenario/takeoff/drawing.hpp"
#include "scenario/takeoff/rows.hpp"

namespace oxfade::scenario::detail {

/// The branch lines along a main, and the rows that are their pieces.
struct LineGroup {
    std::string along;
    std::size_t main = 0;             ///< its row
    std::optional<int> number;        ///< along one main; none: as the spacing says
    std::vector<std::size_t> pieces;  ///< rows, from the main outwards
};

/// How the rows of one system hang on each other. Rows are counted within the system.
struct Hanging {
    std::optional<std::size_t> root;
    std::vector<std::size_t> order;  ///< rows that are reached, each after the one it hangs on
    std::vector<std::optional<std::size_t>> parent;  ///< rows
    std::vector<int> each;                           ///< such pipes on one of those it hangs on
    std::vector<std::optional<std::size_t>> group;   ///< the group a row is a piece of
    std::vector<LineGroup> groups;
    Drawing drawing;
};

/// Tells of names that are there twice, and of those that rows hang on and that are not there.
void check_names(const std::vector<const TakeoffRow*>& rows, RowFaults& faults);

/// Finds what each row hangs on, by coordinates where it is drawn, else by name.
Hanging hang_rows(const std::vector<const TakeoffRow*>& rows, double tolerance, RowFaults& faults);

}  // namespace oxfade::scenario::detail
