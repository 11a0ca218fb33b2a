#include "plant/pipe_tree.hpp"

namespace oxfade::plant {

PipeTree::PipeTree(const Riser& riser) {
    for (std::size_t p = 0; p < riser.pipes.size(); ++p) by_name_.emplace(riser.pipes[p].name, p);
    for (std::size_t p = 0; p < riser.pipes.size(); ++p) {
        const std::optional<std::string>& from = riser.pipes[p].from;
        parent_.push_back(p == 0 ? std::nullopt : from ? index(*from) : std::optional(p - 1));
    }
}

std::optional<std::size_t> PipeTree::index(const std::string& pipe) const {
    const auto found = by_name_.find(pipe);
    return found == by_name_.end() ? std::nullopt : std::optional(found->second);
}

std::vector<std::size_t> PipeTree::parents_first() const {
    std::vector<std::vector<std::size_t>> children(parent_.size());
    for (std::size_t p = 1; p < parent_.size(); ++p) {
        if (parent_[p]) children[*parent_[p]].push_back(p);
    }
    std::vector<std::size_t> order, open;
    if (!parent_.empty()) open.push_back(0);
    while (!open.empty()) {
        order.push_back(open.back());
        open.pop_back();
        const auto& next = children[order.back()];
        open.insert(open.end(), next.rbegin(), next.rend());
    }
    return order;
}

}  // namespace oxfade::plant
