#pragma once

#include <optional>
#include <string>
#include <vector>

#include "oxfade/plant/limits.hpp"
#include "oxfade/plant/riser.hpp"
#include "scenario/table.hpp"

/// Rows of branch lines along a main, and the plain pipes that they stand for.
namespace oxfade::scenario::detail {

/// A `[[riser.branch_lines]]` as written.
struct BranchLineRow {
    std::string path;  ///< `riser.Store.branch_lines.lines`
    std::string name;
    std::string along;                     ///< the pipe that the lines leave from
    std::optional<int> number;             ///< of lines, both sides together
    std::optional<double> spacing, first;  ///< [m]
    bool both_sides = false;
    std::vector<plant::Pipe> pieces;  ///< of one line, from the main outwards; without names
    std::vector<std::string> piece_paths;
    bool readable = true;  ///< all that says where the lines are could be read
};

BranchLineRow read_branch_lines(Table table);

/// Where the lines of a row leave a main of that length [m from its near end]; none when they do not fit,
/// which is told. Without `first` the last of them leave at its far end.
std::optional<std::vector<double>> tap_positions(const BranchLineRow& row, double length, Reading& reading);

/// A length in the family of units that the file is written in.
std::string length_words(double length, const Reading& reading);

/// Taps closer than this are one [m].
inline constexpr double same_place = plant::limits::part_length;

/// Cuts the mains where lines leave them and hangs the lines on: a line is called by the row's name and its
/// number, counted along the main from its near end; its last piece has that name and those before it have
/// ` piece 1` and so on after it. Two lines that face each other are one pipe with a `count` of two, called
/// by both numbers, unless something names one of them. The last segment of a main keeps the main's name,
/// those before it are numbered. What names a whole main or line is led to the right piece of it: a low point
/// to its first one, a sampling point to where its distance ends.
/// @param path of the riser, `riser.Store`
void hang_branch_lines(plant::Riser& riser, const std::vector<BranchLineRow>& rows, Reading& reading,
                       const std::string& path);

}  // namespace oxfade::scenario::detail
