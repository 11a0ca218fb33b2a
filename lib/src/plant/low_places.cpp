#include "oxfade/plant/low_places.hpp"

#include <algorithm>
#include <functional>
#include <limits>
#include <utility>

#include "plant/pipe_tree.hpp"

namespace oxfade::plant {
namespace {

constexpr double least_depth = 1e-3;  // [m]; less is no more than rounding
constexpr std::size_t entry = 0;

/// The ends of all pipes as points with a height, joined by the pipes: point 0 is where gas enters, point i +
/// 1 the far end of pipe i. Pipes hang on the far ends of others, and links join far ends.
class Ends {
  public:
    explicit Ends(const Riser& riser)
        : tree_(riser), heights_(riser.pipes.size() + 1), neighbours_(riser.pipes.size() + 1) {
        const std::vector<double> pitches = riser.pitches();
        for (const std::size_t i : tree_.parents_first()) {
            const Pipe& pipe = riser.pipes[i];
            const std::size_t before = tree_.parent(i) ? *tree_.parent(i) + 1 : entry;
            if (before == entry && pipe.elevation) heights_[entry] = (*pipe.elevation)[0];
            const double length = pipe.geometry() != nullptr ? pipe.geometry()->length : 0.0;
            heights_[i + 1] = pipe.elevation ? (*pipe.elevation)[1] : heights_[before] + pitches[i] * length;
            join(before, i + 1);
            reached_.push_back(i);
        }
        for (const LoopLink& link : riser.links) {
            const auto first = tree_.index(link.first), second = tree_.index(link.second);
            if (first && second) join(*first + 1, *second + 1);
        }
        std::sort(reached_.begin(), reached_.end());
    }

    std::vector<LowPlace> low_places() const {
        std::vector<LowPlace> places;
        for (const std::size_t pipe : reached_) {
            const std::size_t end = pipe + 1;
            if (!is_lowest(end)) continue;
            const double depth = rim(end) - heights_[end];
            if (depth > least_depth) places.push_back({pipe, depth, neighbours_[end].size() == 1});
        }
        return places;
    }

  private:
    void join(std::size_t a, std::size_t b) {
        neighbours_[a].push_back(b);
        neighbours_[b].push_back(a);
    }

    /// Among level neighbours only the first counts, so that a level stretch is one place.
    bool is_lowest(std::size_t end) const {
        return std::all_of(neighbours_[end].begin(), neighbours_[end].end(), [&](std::size_t other) {
            return heights_[other] > heights_[end] || (heights_[other] == heights_[end] && other > end);
        });
    }

    /// Height over which water leaves an end: the lowest of the highest points on all ways to the entry or to
    /// an end that lies deeper.
    double rim(std::size_t end) const {
        std::vector<double> highest(heights_.size(), std::numeric_limits<double>::infinity());
        std::vector<std::pair<double, std::size_t>> open{{heights_[end], end}};  // a heap, lowest first
        highest[end] = heights_[end];
        while (!open.empty()) {
            std::pop_heap(open.begin(), open.end(), std::greater<>());
            const auto [height, at] = open.back();
            open.pop_back();
            if (height > highest[at]) continue;
            if (at == entry || heights_[at] < heights_[end]) return height;
            for (const std::size_t other : neighbours_[at]) {
                const double over = std::max(height, heights_[other]);
                if (over >= highest[other]) continue;
                highest[other] = over;
                open.emplace_back(over, other);
                std::push_heap(open.begin(), open.end(), std::greater<>());
            }
        }
        return heights_[end];
    }

    PipeTree tree_;
    std::vector<double> heights_;  ///< [m]
    std::vector<std::vector<std::size_t>> neighbours_;
    std::vector<std::size_t> reached_;  ///< pipes that hang on the first, however far
};

}  // namespace

std::vector<LowPlace> low_places(const Riser& riser) {
    if (riser.pipes.empty()) return {};
    return Ends(riser).low_places();
}

}  // namespace oxfade::plant
