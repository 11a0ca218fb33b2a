#pragma once

#include <filesystem>
#include <iosfwd>
#include <string>
#include <string_view>

namespace oxfade::report {

/// Puts text into a file as a whole or not at all: it is written beside the file under a temporary name, then
/// renamed. A link is followed, permissions of an existing file are kept, and devices and pipes are written
/// directly. Throws FileError with the reason; nothing partial is left behind.
void replace_file(const std::filesystem::path& path, std::string_view text);

/// Throws FileError when replace_file would surely fail: no such folder, a folder in its place, no
/// permission. Asked before a long computation, it saves the wait.
void require_replaceable(const std::filesystem::path& path);

/// As replace_file, except that the path "-" means the stream given. Throws FileError when the text cannot be
/// written there.
void write_output(const std::string& path, std::string_view text, std::ostream& standard_output);

}  // namespace oxfade::report
