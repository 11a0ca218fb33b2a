#include "scenario/file_text.hpp"

#include <fmt/format.h>

#include <cerrno>
#include <fstream>
#include <system_error>

#include "oxfade/error.hpp"

namespace oxfade::scenario::detail {

std::string file_text(const std::filesystem::path& file, std::size_t largest) {
    errno = 0;
    std::ifstream in(file, std::ios::binary);
    if (!in)
        throw FileError(fmt::format("'{}' cannot be opened for reading: {}", file.string(),
                                    std::generic_category().message(errno)));
    std::string text(largest + 1, '\0');
    in.read(text.data(), static_cast<std::streamsize>(text.size()));
    if (in.bad()) throw FileError(fmt::format("'{}' cannot be read", file.string()));
    text.resize(static_cast<std::size_t>(in.gcount()));
    return text;
}

}  // namespace oxfade::scenario::detail
