#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "oxfade/outcome/outcome.hpp"

/// Numbers and texts as they go into a page.
namespace oxfade::report::detail {

/// Little-endian float32 in base64: 5.3 bytes a number, to seven digits.
std::string packed(const std::vector<double>& values);
/// The same of some rows of a series, row by row.
std::string packed(const outcome::Series& series, const std::vector<std::size_t>& rows);

/// Text that is safe between tags and in double-quoted attributes: what could be markup, and control
/// characters, become references or spaces.
std::string html_text(std::string_view text);

/// JSON that is safe inside a script element: `<`, `>` and `&` are written as escapes. The JSON has to be in
/// ASCII already.
std::string script_safe(std::string json);

}  // namespace oxfade::report::detail
