#pragma once

#include <string>
#include <vector>

#include "json_support.hpp"
#include "oxfade/outcome/outcome.hpp"
#include "page.hpp"

/// How the time to target depends on what nobody knows exactly: where leaks are, how far a dead end is
/// stirred at its mouth, how much warmer or colder its far end is.
namespace oxfade::report::detail {

struct VariationLine {
    std::string label;  ///< "leaks at entry"
    std::string times;  ///< "Store 40.1 h, Dock not met"
};
/// The run itself first; none without variations.
std::vector<VariationLine> variation_lines(const outcome::Outcome& outcome, const Units& units);

/// True where the place of a riser's leaks moves its time to target by a quarter or more, or decides whether
/// the target is met at all.
bool leak_place_decides(const outcome::Outcome& outcome, std::size_t riser);
/// One sentence about the risers of which that is true; empty without any.
std::string leak_place_sentence(const outcome::Outcome& outcome);

void write_variations(Page& page, const outcome::Outcome& outcome, const Units& units);
Json variations_json(const outcome::Outcome& outcome);

}  // namespace oxfade::report::detail
