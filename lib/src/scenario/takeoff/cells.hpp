#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>

#include "oxfade/scenario/quantity.hpp"
#include "text/letters.hpp"

/// What stands in the cells of a takeoff.
namespace oxfade::scenario::detail {

/// How a file writes its numbers, as far as it says.
struct NumberStyle {
    bool comma = false;  ///< some number can only have a decimal comma
    bool point = false;  ///< some number can only have a decimal point

    /// Learns from the number at the front of a cell.
    void learn(std::string_view cell);
};

/// The cell on one line, with single blanks.
std::string plain_text(std::string_view cell);

/// As plain_text, and fractions and unit signs of a quantity in plain letters: `1¼″` is `1 1/4"`.
std::string plain_cell(std::string_view cell);

/// The cell with the number at its front as a scenario writes it: a decimal point, nothing between thousands.
/// An error where a lone comma or point may be either.
std::variant<std::string, QuantityError> plain_number(std::string_view cell, NumberStyle style);

/// A quantity, and the same as a scenario file writes it.
struct Measure {
    double value = 0.0;  ///< SI unit
    std::string text;    ///< number and unit
};

/// Reads a quantity with its unit, or one whose unit is the heading's: `14.5`, `14'-6 1/2"`, `4,42 m`.
/// @param cell as plain_number() gives it
/// @param unit of the heading; may be empty
std::variant<Measure, QuantityError> read_measure(std::string_view cell, const std::string& unit,
                                                  Dimension dimension);

/// Reads a nominal size as `nominal` of a scenario file has it: `1 1/4"`, `1.25`, `NPS 2`, `DN32`, `DN 32`,
/// and a plain number or one in mm that is a DN.
/// @param unit of the heading; may be empty
std::variant<std::string, QuantityError> read_size(std::string_view cell, const std::string& unit);

/// Reads a schedule out of what a table calls the pipe: `40`, `Sch. 40`, `Steel pipe, schedule 10`, `light`.
std::string read_schedule(std::string_view cell);

using text::lower_case;

/// What a cell says that is ticked or not: true for `yes`, `x` and the like, false for `no`, `-` and an empty
/// one; none for other text.
std::optional<bool> read_mark(std::string_view cell);

}  // namespace oxfade::scenario::detail
