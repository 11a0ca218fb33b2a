#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "oxfade/plant/dimension.hpp"

/// A takeoff: piping as a table of pipes.
namespace oxfade::scenario::detail {

/// What a column of a takeoff says.
enum class Column {
    system,
    name,
    from,
    kind,
    size,
    bore,
    schedule,
    length,
    count,
    spacing,
    first,
    sides,
    position,
    pitch,
    x1,
    y1,
    z1,
    x2,
    y2,
    z2,
    vent,
    sample,
    low_point,
    rise,
    remark,  ///< for people
};

/// A column's heading as read.
struct Heading {
    Column column = Column::remark;
    std::string unit;   ///< as in a scenario file; empty where the heading has none
    bool weak = false;  ///< gives way to another heading of the same: `ID` beside `name`
};

/// Reads a heading: capitals, `_`, `-` and `.` do not count; a unit may stand in brackets, after a comma, or
/// last. Empty when it is no column known here.
std::optional<Heading> read_heading(std::string_view heading);

/// What the column is called where it has no heading: "length".
std::string_view name_of(Column column);
/// What its cells are; none where they are no quantities.
std::optional<plant::Dimension> dimension_of(Column column);

/// The heading that a text nearly is, when it is but a slip away from one.
std::optional<std::string> nearly_heading(std::string_view heading);
/// All columns, to tell: "system, name, from, …".
std::string known_columns();

/// A unit as people write it in the form that quantities have it: `FT.`, `feet`, `″` are `ft`, `feet`, `in`.
std::string plain_unit(std::string_view unit);

}  // namespace oxfade::scenario::detail
