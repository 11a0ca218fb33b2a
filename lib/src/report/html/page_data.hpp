#pragma once

#include <string>
#include <vector>

#include "oxfade/report/html.hpp"
#include "report/json_support.hpp"

/// What a page draws from: the plant, its runs, and words in both systems of units.
namespace oxfade::report::detail {

/// Both systems of units for one reader: what `make` gives for each, under `us` and `si`.
template <class Make>
Json in_both(const Units& units, const Make& make) {
    Units us = units, si = units;
    us.system = System::us;
    si.system = System::si;
    return {{"us", make(us)}, {"si", make(si)}};
}

/// Layout of a plant: pipes with the index of the one they hang on, vents, leaks, low points, loops, and what
/// is done on a date.
Json plant_json(const plant::Plant& plant, const Units& units);

/// A run: what `oxfade predict --json` writes of it, and its history, packed. `values` is about how many
/// numbers the oxygen may take.
Json run_json(const PageRun& run, std::size_t plant, const Units& units, std::size_t values);

/// Every input under its key, in both systems.
Json inputs_json(const plant::Plant& plant, const Units& units);

/// The data that every page has, for `verb`; words are left to the caller.
Json page_json(const char* verb, const char* kind, const std::vector<PageRun>& runs, const PageHead& head);

/// The finished file. `plain` is the report as text, for readers without scripts.
std::string document(const Json& data, const std::string& title, const std::string& plain);

}  // namespace oxfade::report::detail
