#pragma once

#include <string_view>

#include "report/json_support.hpp"

namespace oxfade::report::detail {

/// The head of validation/table.md as `summary` (a sentence or two) and `rows` (source, numbers, how known,
/// largest error, tolerance used, verdict). Both empty for an empty text.
Json validation_json(std::string_view markdown);

}  // namespace oxfade::report::detail
