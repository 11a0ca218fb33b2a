#pragma once

#include <string>
#include <vector>

#include "oxfade/report/html.hpp"
#include "report/json_support.hpp"

/// What a page says in words, in the units asked for.
namespace oxfade::report::detail {

std::string vent_words(const plant::Vent& vent, const Units& units);
std::string low_point_words(const plant::LowPoint& low_point, const Units& units);
std::string leak_words(const plant::Leak& leak, const plant::Riser& riser, const plant::Site& site,
                       const Units& units);

/// Verdict of a whole run, and a sentence for each riser.
std::string verdict(const outcome::Outcome& outcome);
Json sentences_json(const plant::Plant& plant, const outcome::Outcome& outcome);

/// What was asked for, what was found, and whether that will do: a row for each riser's target and fill.
Json asked_json(const plant::Plant& plant, const outcome::Outcome& outcome, const Units& units);

/// What the figures rest on, the points first that matter most for this plant.
std::vector<std::string> assumptions(const plant::Plant& plant, bool friction_resolved, const Units& units);

/// "BEST: this is so" with its first word in small letters: "Best: this is so".
std::string calm(std::string text);

/// Findings, the gravest first.
Json findings_json(const std::vector<outcome::Message>& messages, const Units& units);

std::string trust_words(bool friction_resolved);
std::vector<std::string> page_cautions();

/// All of the above for a run: verdict, met, lead, sentences, asked, assumptions, findings.
Json run_words(const PageRun& run, bool friction_resolved, const Units& units);

}  // namespace oxfade::report::detail
