#pragma once

#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "oxfade/error.hpp"
#include "scenario/tree.hpp"

namespace oxfade::scenario::detail {

/// The problems that are told at once, and how many more there are.
std::vector<Problem> first_of(std::vector<Problem> problems);

/// Collects the problems of a file and gives each its file, line and value as written.
class Findings {
  public:
    Findings(std::string file, const Origins& origins) : file_(std::move(file)), origins_(origins) {}

    /// A problem at a key of the file, or at one that it lacks; shadows it.
    void add(const std::string& path, std::string what, std::string allowed);
    /// A problem of a table that does not spoil all of its keys.
    void add_about(const std::string& path, std::string what, std::string allowed);
    /// A problem that has its key and place already.
    void add(Problem problem) { problems_.push_back(std::move(problem)); }
    /// Says that nothing at or below this path could be read, so that what was put in its place is not
    /// judged.
    void shadow(std::string path) { shadows_.insert(std::move(path)); }
    /// Problems of the plant at or below one path belong to another: of what was made from another table.
    void alias(std::string path, std::string owner) { owners_.emplace(std::move(path), std::move(owner)); }
    /// Takes over problems of the plant, but for those that only follow from what could not be read.
    void adopt(std::vector<Problem> problems);

    /// What is no mistake at a key, but easily one. Only the first of a kind is kept, and counted.
    void hint(const std::string& path, std::string what, std::string allowed);
    std::vector<Problem> hints() const;

    bool empty() const { return problems_.empty(); }
    /// All problems, in the order of the file, each on one line.
    std::vector<Problem> take();

  private:
    Problem located(Problem problem) const;
    bool shadowed(std::string path) const;
    std::string owned(const std::string& path) const;

    std::string file_;
    const Origins& origins_;
    std::vector<Problem> problems_;
    std::set<std::string> shadows_;
    std::map<std::string, std::string> owners_;
    std::vector<Problem> hints_;
    std::size_t further_hints_ = 0;
};

}  // namespace oxfade::scenario::detail
