#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "json_support.hpp"
#include "oxfade/outcome/outcome.hpp"
#include "page.hpp"

/// When a system is at its target: three answers that may be weeks apart, and how sure each is.
namespace oxfade::report::detail {

/// "readings", "average" or "everywhere": the words of the scenario file and of JSON.
std::string_view target_at_name(plant::TargetAt at);
/// As the end of a sentence: "in every part of the piping".
std::string_view target_place(plant::TargetAt at);
/// Behind a time to target that is not that of every part: " (average)"; else empty.
std::string target_tag(plant::TargetAt at);

struct Answer {
    plant::TargetAt at = plant::TargetAt::everywhere;
    std::string label;           ///< "at vents and samples"
    bool asked = false;          ///< it is the one that the target asks for
    bool known = true;           ///< false: there is nothing to read
    std::optional<double> time;  ///< [s]
};
/// Readings, average, every part.
std::vector<Answer> answers_of(const outcome::RiserOutcome& riser, plant::TargetAt asked);

/// The answer that the target asks for, as a sentence: "in every part of the piping after 35.5 h (day 1.48),
/// …".
std::string asked_text(const outcome::RiserOutcome& riser, plant::TargetAt asked);

/// " (cells: ±0.4 h)": how far the cutting into cells may still move a time; empty where that is not known.
std::string time_error_text(const std::optional<double>& error);
/// The same of an oxygen fraction: " (cells: ±0.02 %)".
std::string oxygen_error_text(const std::optional<double>& error);
/// How the piping was cut, and how the error was found, as a sentence.
std::string resolution_text(const outcome::Resolution& resolution);

/// "'far', 12 ft from its near end", "'far', far end"; the name alone for a pipe of one cell.
std::string cell_place(const plant::Riser& given, const outcome::PipeOutcome& pipe, std::size_t cell,
                       const Units& units);

/// Three lines of a system's first screen: what the target asks for, then the other two.
void write_answers(Page& page, const outcome::RiserOutcome& riser, plant::TargetAt asked);

Json readings_json(const outcome::RiserOutcome& riser);
Json resolution_json(const outcome::Resolution& resolution);

}  // namespace oxfade::report::detail
