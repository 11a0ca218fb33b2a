#include "input_file.hpp"

#include <cerrno>
#include <filesystem>
#include <fstream>
#include <system_error>

#include "oxfade/error.hpp"

namespace oxfade::program {
namespace {

constexpr std::size_t largest = 16'000'000;  // bytes

}  // namespace

std::string read_input(const std::string& path) {
    std::error_code error;
    if (std::filesystem::is_directory(path, error))
        throw FileError(path + " is a directory, a file is wanted");
    errno = 0;
    std::ifstream in(path, std::ios::binary);
    if (!in) {
        throw FileError("'" + path +
                        "' cannot be opened for reading: " + std::generic_category().message(errno));
    }
    std::string text(largest + 1, '\0');
    in.read(text.data(), static_cast<std::streamsize>(text.size()));
    if (in.bad()) throw FileError(path + " cannot be read");
    text.resize(static_cast<std::size_t>(in.gcount()));
    if (text.size() > largest) throw FileError(path + " is too large for a table of readings");
    return text;
}

}  // namespace oxfade::program
