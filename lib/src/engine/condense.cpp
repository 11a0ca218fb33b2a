#include "engine/condense.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <string>

#include "plant/pipe_tree.hpp"

namespace oxfade::engine {
namespace {

class Condenser {
  public:
    explicit Condenser(const plant::Riser& riser)
        : riser_(riser),
          tree_(riser),
          children_(riser.pipes.size()),
          kinds_(riser.pipes.size()),
          same_as_(riser.pipes.size()),
          count_(riser.pipes.size()) {
        for (std::size_t p = 0; p < same_as_.size(); ++p) {
            same_as_[p] = p;
            count_[p] = riser.pipes[p].count;
        }
    }

    CondensedRiser build() {
        std::vector<std::size_t> order = tree_.parents_first();
        for (const std::size_t p : order) {
            if (const auto parent = tree_.parent(p)) children_[*parent].push_back(p);
        }
        const std::set<std::string> named = names();
        const std::vector<double> pitches = riser_.pitches();
        for (auto p = order.rbegin(); p != order.rend(); ++p) {
            join_children(*p);
            kinds_[*p] = named.count(riser_.pipes[*p].name) > 0 ? "" : kind_of(*p, pitches[*p]);
        }
        CondensedRiser out{riser_, std::vector<std::size_t>(riser_.pipes.size())};
        out.riser.pipes.clear();
        for (std::size_t p = 0; p < riser_.pipes.size(); ++p) {
            if (same_as_[p] != p) continue;
            out.place[p] = out.riser.pipes.size();
            plant::Pipe pipe = riser_.pipes[p];
            pipe.count = count_[p];
            if (riser_.pipes[p].geometry()) pipe.pitch = pitches[p];
            if (const auto parent = tree_.parent(p)) pipe.from = riser_.pipes[*parent].name;
            out.riser.pipes.push_back(std::move(pipe));
        }
        for (std::size_t p = 0; p < riser_.pipes.size(); ++p) out.place[p] = out.place[same_as_[p]];
        return out;
    }

  private:
    std::set<std::string> names() const {
        std::set<std::string> named;
        for (const auto& vent : riser_.vents) named.insert(vent.at);
        for (const auto& sample : riser_.samples) named.insert(sample.at);
        for (const auto& low_point : riser_.low_points) named.insert(low_point.on);
        for (const auto& leak : riser_.leaks) named.insert(leak.at.value_or(""));
        for (const auto& link : riser_.links) named.insert({link.first, link.second});
        return named;
    }

    /// What a pipe is, with all that hangs on it; empty when it is like no other.
    std::string kind_of(std::size_t p, double pitch) const {
        const plant::Pipe& pipe = riser_.pipes[p];
        const plant::Cylinder* shape = pipe.geometry();
        std::string kind = fmt::format("{:a} {:a} {:a} {} {:a}(", pipe.volume(), shape ? shape->bore : -1.0,
                                       pitch, pipe.cells.value_or(0), pipe.exchange.value_or(-1.0));
        for (const std::size_t child : children_[p]) {
            if (kinds_[child].empty()) return {};
            kind += fmt::format("{} x {}", count_[child], kinds_[child]);
        }
        return kind + ")";
    }

    void join_children(std::size_t p) {
        std::map<std::string, std::size_t> first;
        std::vector<std::size_t> kept;
        for (const std::size_t child : children_[p]) {
            const auto [of_kind, added] = first.try_emplace(kinds_[child], child);
            if (added || kinds_[child].empty()) {
                kept.push_back(child);
                continue;
            }
            count_[of_kind->second] += riser_.pipes[child].count;
            alias(child, of_kind->second);
        }
        children_[p] = std::move(kept);
    }

    /// Of equal pipes, what hangs on them is equal in the same order.
    void alias(std::size_t pipe, std::size_t other) {
        for (std::size_t p = 0; p < same_as_.size(); ++p) {
            if (same_as_[p] == pipe) same_as_[p] = other;
        }
        for (std::size_t k = 0; k < children_[pipe].size(); ++k)
            alias(children_[pipe][k], children_[other][k]);
    }

    const plant::Riser& riser_;
    const plant::PipeTree tree_;
    std::vector<std::vector<std::size_t>> children_;
    std::vector<std::string> kinds_;
    std::vector<std::size_t> same_as_;
    std::vector<int> count_;
};

}  // namespace

CondensedRiser condense(const plant::Riser& riser) { return Condenser(riser).build(); }

}  // namespace oxfade::engine
