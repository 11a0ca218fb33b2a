#pragma once

#include <string>
#include <vector>

#include "json_support.hpp"
#include "oxfade/outcome/outcome.hpp"
#include "page.hpp"

/// What a fitter can do about a missed target, and the days it would take.
namespace oxfade::report::detail {

struct RemedyLine {
    std::string what;   ///< "Vents of 0.031 in at the far ends of all 22 branch lines of Store"
    std::string times;  ///< "3.2 d; 84 % of what the separator makes"
};
std::vector<RemedyLine> remedy_lines(const outcome::Outcome& outcome, const Units& units);
/// What to see to before any of it is done, for those that are there.
std::vector<std::string> remedy_cautions(const outcome::Outcome& outcome);

void write_remedies(Page& page, const outcome::Outcome& outcome, const Units& units);
Json remedies_json(const outcome::Outcome& outcome);

}  // namespace oxfade::report::detail
