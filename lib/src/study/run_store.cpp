#include "study/run_store.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <charconv>
#include <cmath>
#include <cstring>
#include <string_view>
#include <system_error>
#include <utility>

#include "oxfade/error.hpp"
#include "text/printable.hpp"

namespace oxfade::study::detail {
namespace {

constexpr std::string_view title = "# oxfade sweep, runs of format 1";
constexpr std::string_view columns =
    "run,time_to_target_s,longest_fill_s,air_after_fill_s,running_s,nitrogen_mol,fills_met,error";

std::string line_of(std::size_t index, const SweepRun& run) {
    return fmt::format("{},{},{},{},{},{},{},{}\n", index, run.time_to_target, run.longest_fill,
                       run.air_after_fill, run.running, run.nitrogen, run.fills_met ? 1 : 0,
                       text::printable(run.error));
}

/// Takes the text before the next comma off the front of a line.
std::string_view take(std::string_view& line) {
    const auto comma = std::min(line.find(','), line.size());
    const auto field = line.substr(0, comma);
    line.remove_prefix(std::min(comma + 1, line.size()));
    return field;
}

template <class Number>
bool take_number(std::string_view& line, Number& out) {
    const auto field = take(line);
    const auto [end, error] = std::from_chars(field.data(), field.data() + field.size(), out);
    return error == std::errc() && end == field.data() + field.size();
}

bool parse(std::string_view line, std::size_t& index, SweepRun& run) {
    int met = 0;
    const bool good = take_number(line, index) && take_number(line, run.time_to_target) &&
                      take_number(line, run.longest_fill) && take_number(line, run.air_after_fill) &&
                      take_number(line, run.running) && take_number(line, run.nitrogen) &&
                      take_number(line, met);
    run.fills_met = met == 1;
    run.error = line;
    return good;
}

std::string contents(int file) {
    std::string text;
    std::array<char, 65536> buffer{};
    for (;;) {
        const ssize_t count = ::read(file, buffer.data(), buffer.size());
        if (count == 0) return text;
        if (count < 0 && errno != EINTR) throw std::system_error(errno, std::generic_category());
        if (count > 0) text.append(buffer.data(), static_cast<std::size_t>(count));
    }
}

}  // namespace

RunStore::RunStore(std::filesystem::path path, const std::string& digest, std::size_t runs)
    : path_(std::move(path)), found_(runs) {
    file_ = ::open(path_.c_str(), O_RDWR | O_CREAT | O_APPEND | O_CLOEXEC, 0666);
    if (file_ < 0) fail("cannot be opened");
    try {
        if (::flock(file_, LOCK_EX | LOCK_NB) != 0) fail("is in use by another sweep");
        const std::string head = fmt::format("{}\n# inputs {}\n{}\n", title, digest, columns);
        std::string text = contents(file_);
        const std::size_t whole = text.rfind('\n') == std::string::npos ? 0 : text.rfind('\n') + 1;
        // What a crash cut short is either the head of this very store or the line of a run.
        const bool ours = text.rfind(title, 0) == 0 || title.rfind(text, 0) == 0;
        if (ours && whole < text.size()) {
            if (::ftruncate(file_, static_cast<off_t>(whole < head.size() ? 0 : whole)) != 0)
                fail("cannot be mended");
            text.resize(whole < head.size() ? 0 : whole);
        }
        if (text.empty()) {
            write(head);
        } else {
            read(text, head);
        }
    } catch (const std::system_error&) {
        ::close(file_);
        throw FileError(fmt::format("{} cannot be read", path_.string()));
    } catch (...) {
        ::close(file_);
        throw;
    }
}

RunStore::~RunStore() { ::close(file_); }

void RunStore::read(const std::string& text, const std::string& head) {
    const auto refuse = [&](std::string value, std::string what, std::string allowed) {
        throw InputError(
            {Problem{"", std::move(value), std::move(what), std::move(allowed), path_.string(), 0}});
    };
    if (text.rfind(title, 0) != 0) refuse("", "is no file of a sweep's runs", "name another file");
    if (text.rfind(head, 0) != 0) {
        refuse("", "holds runs of other inputs (another plant, spread, seed or version)",
               "name another file, or remove this one");
    }
    std::string_view rest = std::string_view(text).substr(head.size());
    for (int line = 4; !rest.empty(); ++line) {
        const auto end = rest.find('\n');
        std::size_t index = 0;
        SweepRun run;
        if (!parse(rest.substr(0, end), index, run) || index >= found_.size())
            refuse(std::string(rest.substr(0, end)), fmt::format("line {} is damaged", line),
                   "remove the line");
        found_[index] = std::move(run);
        rest.remove_prefix(end + 1);
    }
}

void RunStore::append(const std::vector<std::size_t>& indices, const std::vector<SweepRun>& runs) {
    std::string text;
    for (std::size_t k = 0; k < indices.size(); ++k) text += line_of(indices[k], runs[k]);
    write(text);
}

void RunStore::write(const std::string& text) {
    std::string_view rest = text;
    while (!rest.empty()) {
        const ssize_t count = ::write(file_, rest.data(), rest.size());
        if (count < 0 && errno != EINTR) fail("cannot be written");
        if (count > 0) rest.remove_prefix(static_cast<std::size_t>(count));
    }
    if (::fdatasync(file_) != 0 && errno != EINVAL) fail("cannot be written");
}

void RunStore::fail(const char* what) const {
    throw FileError(fmt::format("{} {}: {}", path_.string(), what, std::strerror(errno)));
}

}  // namespace oxfade::study::detail
