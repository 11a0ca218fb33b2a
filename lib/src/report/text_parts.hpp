#pragma once

#include <string>
#include <vector>

#include "oxfade/outcome/message.hpp"
#include "oxfade/plant/riser.hpp"
#include "oxfade/report/units.hpp"
#include "page.hpp"

/// Blocks that more than one report shows.
namespace oxfade::report::detail {

/// Findings, the gravest first.
void write_findings(Page& page, const std::vector<outcome::Message>& messages, const Units& units);

/// What nobody may overlook who acts on a number.
std::vector<std::string> cautions();
void write_cautions(Page& page);

/// When a vent is open: "open from the end of the fill".
std::string policy_text(const plant::VentPolicy& policy, const Units& units);

}  // namespace oxfade::report::detail
