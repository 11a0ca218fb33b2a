#pragma once

#include <string>
#include <vector>

#include "oxfade/outcome/message.hpp"
#include "oxfade/plant/plant.hpp"
#include "oxfade/report/units.hpp"
#include "page.hpp"

/// Blocks that more than one report shows.
namespace oxfade::report::detail {

std::vector<outcome::Message> gravest_first(std::vector<outcome::Message> messages);
/// Findings, the gravest first.
void write_findings(Page& page, const std::vector<outcome::Message>& messages, const Units& units);

/// A value that the file leaves out, in one line: `site.temperature = "20 degC" (common practice, no
/// source)`. Keys that end alike and have the same value are one line.
std::vector<std::string> assumed_lines(const std::vector<plant::Assumed>& assumed);
/// Those lines under a heading; nothing where the file leaves nothing out.
void write_assumed(Page& page, const plant::Plant& plant);

/// What nobody may overlook who acts on a number.
std::vector<std::string> cautions();
void write_cautions(Page& page);

/// A number as a field of CSV; nothing where it is not finite.
std::string number_field(double value);

/// When a vent is open: "open from the end of the fill".
std::string policy_text(const plant::VentPolicy& policy, const Units& units);

/// What air leaves through an effective area [m2] at a pressure [Pa abs], as a standard flow.
std::string air_lost_text(double area, double pressure, const plant::Site& site, const Units& units);

}  // namespace oxfade::report::detail
