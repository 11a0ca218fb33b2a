#include "oxfade/report/files.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <memory>
#include <ostream>
#include <system_error>

#include "oxfade/error.hpp"

namespace oxfade::report {
namespace {

namespace fs = std::filesystem;

struct Close {
    void operator()(std::FILE* file) const { std::fclose(file); }
};
using File = std::unique_ptr<std::FILE, Close>;

[[noreturn]] void fail(const fs::path& path, const std::string& reason) {
    throw FileError(fmt::format("cannot write '{}': {}", path.string(), reason));
}
[[noreturn]] void fail(const fs::path& path, int error) {
    fail(path, std::generic_category().message(error));
}

/// Writes everything and closes; zero or the system's error number.
int write_and_close(File file, std::string_view text) {
    errno = 0;
    const bool written =
        std::fwrite(text.data(), 1, text.size(), file.get()) == text.size() && std::fflush(file.get()) == 0;
    int error = written ? 0 : (errno != 0 ? errno : EIO);
    if (std::fclose(file.release()) != 0 && error == 0) error = errno;
    return error;
}

/// A file beside `path` that nobody else has open, and its name.
File open_temporary(const fs::path& path, fs::path& name) {
    constexpr int attempts = 100;
    for (int i = 0; i < attempts; ++i) {
        name = path;
        name += fmt::format(".{}.part", i);
        File file(std::fopen(name.c_str(), "wxb"));
        if (file) return file;
        if (errno != EEXIST) fail(path, errno);
    }
    fail(path, fmt::format("too many unfinished files '{}.*.part' beside it", path.filename().string()));
}

void write_directly(const fs::path& path, std::string_view text) {
    File file(std::fopen(path.c_str(), "wb"));
    if (!file) fail(path, errno);
    if (const int error = write_and_close(std::move(file), text)) fail(path, error);
}

/// A file that may not be written must not be replaced either, though the folder would allow it.
void require_writable(const fs::path& path) {
    if (!File(std::fopen(path.c_str(), "r+b"))) fail(path, errno);
}

void write_and_rename(const fs::path& path, const fs::file_status& status, std::string_view text) {
    if (fs::exists(status)) require_writable(path);
    fs::path temporary;
    File file = open_temporary(path, temporary);
    std::error_code ignored;
    if (fs::exists(status)) fs::permissions(temporary, status.permissions(), ignored);
    if (const int error = write_and_close(std::move(file), text)) {
        fs::remove(temporary, ignored);
        fail(path, error);
    }
    std::error_code renamed;
    fs::rename(temporary, path, renamed);
    if (renamed) {
        fs::remove(temporary, ignored);
        fail(path, renamed.message());
    }
}

/// The file a chain of links ends at; the path itself when it is none.
fs::path follow_links(const fs::path& path) {
    std::error_code error;
    if (!fs::is_symlink(fs::symlink_status(path, error))) return path;
    const fs::path target = fs::weakly_canonical(path, error);
    return error ? path : target;
}

}  // namespace

void require_replaceable(const fs::path& path) {
    if (path.empty()) throw FileError("cannot write: the file name is empty");
    const fs::path target = follow_links(path);
    std::error_code error;
    const fs::file_status status = fs::status(target, error);
    if (fs::is_directory(status)) fail(path, "it is a directory");
    if (fs::is_regular_file(status)) return require_writable(target);
    if (fs::exists(status)) return;
    const fs::path folder = target.has_parent_path() ? target.parent_path() : fs::path(".");
    if (!fs::exists(folder, error)) fail(path, fmt::format("there is no folder '{}'", folder.string()));
    if (!fs::is_directory(folder, error)) fail(path, fmt::format("'{}' is no folder", folder.string()));
    if (::access(folder.c_str(), W_OK) != 0) fail(path, errno);
}

void replace_file(const fs::path& path, std::string_view text) {
    if (path.empty()) throw FileError("cannot write: the file name is empty");
    const fs::path target = follow_links(path);
    std::error_code error;
    const fs::file_status status = fs::status(target, error);
    if (fs::is_directory(status)) fail(path, "it is a directory");
    if (fs::exists(status) && !fs::is_regular_file(status)) {
        write_directly(target, text);
    } else {
        write_and_rename(target, status, text);
    }
}

void write_output(const std::string& path, std::string_view text, std::ostream& standard_output) {
    if (path != "-") return replace_file(path, text);
    errno = 0;
    standard_output.write(text.data(), static_cast<std::streamsize>(text.size()));
    standard_output.flush();
    if (!standard_output) {
        throw FileError(fmt::format("cannot write to standard output: {}",
                                    std::generic_category().message(errno != 0 ? errno : EIO)));
    }
}

}  // namespace oxfade::report
