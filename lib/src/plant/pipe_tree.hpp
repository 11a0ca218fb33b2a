#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "oxfade/plant/riser.hpp"

namespace oxfade::plant {

/// Which pipe hangs on which, looked up once for all: for risers of thousands of pipes. Refers to the riser.
class PipeTree {
  public:
    explicit PipeTree(const Riser& riser);
    /// As Riser::pipe_index() and Riser::parent_index().
    std::optional<std::size_t> index(const std::string& pipe) const;
    std::optional<std::size_t> parent(std::size_t pipe) const { return parent_[pipe]; }
    /// Pipes that hang on the first, each after the one it hangs on and before all that hang on another:
    /// along a line they follow each other.
    std::vector<std::size_t> parents_first() const;

  private:
    std::unordered_map<std::string_view, std::size_t> by_name_;
    std::vector<std::optional<std::size_t>> parent_;
};

}  // namespace oxfade::plant
