#pragma once

#include <vector>

#include "oxfade/outcome/message.hpp"
#include "oxfade/report/units.hpp"
#include "page.hpp"

/// Blocks that more than one report shows.
namespace oxfade::report::detail {

/// Findings, the gravest first.
void write_findings(Page& page, const std::vector<outcome::Message>& messages, const Units& units);

/// What nobody may overlook who acts on a number.
void write_cautions(Page& page);

}  // namespace oxfade::report::detail
