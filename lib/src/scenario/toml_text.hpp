#pragma once

#include <string>
#include <string_view>

namespace oxfade::scenario::detail {

/// A text in quotes, as TOML has it.
std::string toml_text(std::string_view text);

}  // namespace oxfade::scenario::detail
