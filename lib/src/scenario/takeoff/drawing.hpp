#pragma once

#include <array>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "scenario/takeoff/rows.hpp"

namespace oxfade::scenario::detail {

/// A pipe of the tree that drawn rows make, from its end towards the valve to its other one.
struct DrawnPipe {
    std::size_t row = 0;  ///< of all rows given
    std::string name;
    std::optional<std::size_t> before;  ///< the pipe it hangs on; none: it begins at the valve
    double length = 0.0;                ///< [m]
    std::optional<std::array<double, 2>> heights;
};

/// An end that nothing is joined to, close to a pipe all the same.
struct NearMiss {
    std::size_t row = 0, other = 0;
    double distance = 0.0;  ///< [m]
};

/// What coordinates say of how pipes are joined.
struct Drawing {
    std::vector<DrawnPipe> pipes;                            ///< each after the one it hangs on
    std::vector<std::pair<std::size_t, std::size_t>> links;  ///< pairs of them whose far ends close a loop
    std::vector<std::optional<std::size_t>>
        far_end;  ///< by row: its pipe farthest from the valve, where it is one run
    std::vector<std::optional<std::size_t>> last;  ///< by row: the pipe at that end, or at its second end
    std::vector<NearMiss> near_misses;
};

/// Joins ends that meet within the tolerance, with each other or along a pipe, into a tree from the valve:
/// the free end of the row marked as such, else the lowest one. A pipe is cut where others leave it: its last
/// piece keeps its name, those before are numbered; one that is entered between its ends has all pieces
/// numbered from its first end. Tells of rows that do not connect.
/// @param rows of one system; those that are not drawn are left out
Drawing draw(const std::vector<const TakeoffRow*>& rows, double tolerance, RowFaults& faults);

/// A length in feet where the row is written in US units, else in metres.
std::string drawn_length(double length, const TakeoffRow& row);
/// Whether the row's coordinates, or its length, are in feet or inches.
bool in_us_units(const TakeoffRow& row);

}  // namespace oxfade::scenario::detail
