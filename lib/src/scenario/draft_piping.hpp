#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "oxfade/scenario/quantity.hpp"

/// How people write piping, leaks and systems down on one line.
namespace oxfade::scenario::detail {

/// One piece of piping as written: a volume, a nominal size, or a bore, each with its unit.
struct PipingPiece {
    std::string volume;
    std::string nominal, schedule;
    std::string bore;
    std::string length;
};

/// Pieces parted by commas.
std::variant<std::vector<PipingPiece>, QuantityError> parse_piping(std::string_view text);

/// `30 lines on both sides of PIECES`.
struct LinesAnswer {
    int number = 0;
    bool both_sides = false;
    std::vector<PipingPiece> pieces;
};
std::variant<LinesAnswer, QuantityError> parse_lines(std::string_view text);

/// `NAME: PIPING; BRANCH LINES`.
struct SystemLine {
    std::string name;
    std::vector<PipingPiece> pieces;
    std::optional<LinesAnswer> lines;
};
std::variant<SystemLine, QuantityError> parse_system(std::string_view text);

/// `LOSS over TIME from PRESSURE`.
struct LeakLine {
    std::string loss, over, from;
};
std::variant<LeakLine, QuantityError> parse_leak(std::string_view text);

}  // namespace oxfade::scenario::detail
