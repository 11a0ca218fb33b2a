#pragma once

#include <string>

#include "options.hpp"
#include "oxfade/report/html.hpp"

namespace oxfade::program {

/// A plant's run with a history close enough to be drawn.
report::PageRun page_run(const std::string& label, const plant::Plant& plant, double relative_tolerance,
                         bool resolve_friction = false);

/// The last part of a path: a page that is mailed need not tell where files lie.
std::string file_name(const std::string& path);

report::PageHead page_head(const Options& options, const report::Units& units);

}  // namespace oxfade::program
