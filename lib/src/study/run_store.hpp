#pragma once

#include <cstddef>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "oxfade/study/sweep.hpp"

namespace oxfade::study::detail {

/// Finished runs in a text file that is only ever appended to. Its head carries a digest of the inputs. One
/// process at a time may hold it. Numbers are written so that they read back to the same value.
class RunStore {
  public:
    /// Opens or makes the file and reads what it holds; `runs` is how many there can be. A last line without
    /// its end is cut off. Throws FileError; InputError when the file belongs to other inputs or is no store.
    RunStore(std::filesystem::path path, const std::string& digest, std::size_t runs);
    RunStore(const RunStore&) = delete;
    RunStore& operator=(const RunStore&) = delete;
    ~RunStore();

    const std::vector<std::optional<SweepRun>>& found() const { return found_; }
    /// Writes finished runs through to the disk.
    void append(const std::vector<std::size_t>& indices, const std::vector<SweepRun>& runs);

  private:
    void read(const std::string& text, const std::string& head);
    void write(const std::string& text);
    [[noreturn]] void fail(const char* what) const;

    std::filesystem::path path_;
    int file_ = -1;
    std::vector<std::optional<SweepRun>> found_;
};

}  // namespace oxfade::study::detail
