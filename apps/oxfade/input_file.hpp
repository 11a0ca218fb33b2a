#pragma once

#include <string>

namespace oxfade::program {

/// All of a text file, up to a few megabytes. Throws FileError when it cannot be read or is larger.
std::string read_input(const std::string& path);

}  // namespace oxfade::program
