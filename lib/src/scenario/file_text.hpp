#pragma once

#include <cstddef>
#include <filesystem>
#include <string>

namespace oxfade::scenario::detail {

/// The bytes of a file, at most one more than `largest`, by which the caller knows that it is too large.
/// Throws FileError when it cannot be read.
std::string file_text(const std::filesystem::path& file, std::size_t largest);

}  // namespace oxfade::scenario::detail
