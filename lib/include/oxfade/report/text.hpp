#pragma once

#include <string>

#include "oxfade/outcome/outcome.hpp"
#include "oxfade/plant/plant.hpp"
#include "oxfade/report/units.hpp"

namespace oxfade::report {

/// A report for an engineer at a terminal: plain UTF-8, no colour, no line wider than 80 columns. It opens
/// with the verdict, then a block for each riser with a plot of its oxygen, the source, the findings with
/// what to do, the gas balance, and what the reader must keep in mind. `outcome` is what the plant gave.
std::string to_text(const plant::Plant& plant, const outcome::Outcome& outcome, const Units& units);

/// Why a target was not met, as the end of a sentence: "the source fell back on air after the fills".
std::string reason(outcome::Code code);

/// One line for a log: `warning: North: text`.
std::string message_line(const outcome::Message& message, const Units& units);

}  // namespace oxfade::report
