#pragma once

#include <string>
#include <string_view>

namespace oxfade::text {

/// The text on one line and harmless to a terminal: control characters become blanks.
std::string printable(std::string_view text);

}  // namespace oxfade::text
