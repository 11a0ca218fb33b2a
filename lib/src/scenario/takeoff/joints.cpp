#include "scenario/takeoff/joints.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace oxfade::scenario::detail {
namespace {

class Joiner {
  public:
    Joiner(const std::vector<Line>& lines, double tolerance) : lines_(lines), tolerance_(tolerance) {}

    JoinedLines join() {
        join_ends();
        join_along();
        join_taps();
        cut();
        return std::move(result_);
    }

  private:
    std::size_t joint_of(std::size_t end) {
        while (joints_[end] != end) end = joints_[end] = joints_[joints_[end]];
        return end;
    }
    const Point& place(std::size_t end) const {
        return end % 2 == 0 ? lines_[end / 2].from : lines_[end / 2].to;
    }

    /// Ends 2k and 2k + 1 are those of line k. Looks only at those that are near along x.
    void join_ends() {
        joints_.resize(2 * lines_.size());
        std::iota(joints_.begin(), joints_.end(), std::size_t{0});
        std::vector<std::size_t> order = joints_;
        std::sort(order.begin(), order.end(),
                  [&](std::size_t a, std::size_t b) { return place(a)[0] < place(b)[0]; });
        for (std::size_t i = 0; i < order.size(); ++i) {
            for (std::size_t k = i + 1; k < order.size(); ++k) {
                if (place(order[k])[0] - place(order[i])[0] > tolerance_) break;
                if (distance(place(order[i]), place(order[k])) <= tolerance_) unite(order[i], order[k]);
            }
        }
    }

    void unite(std::size_t a, std::size_t b) { joints_[joint_of(a)] = joint_of(b); }

    /// Ends that lie on a line between its own.
    void join_along() {
        taps_.resize(lines_.size());
        for (std::size_t k = 0; k < lines_.size(); ++k) {
            const Line& line = lines_[k];
            for (std::size_t end = 0; end < joints_.size(); ++end) {
                const Point& point = place(end);
                bool outside = end / 2 == k;
                for (std::size_t axis = 0; axis < 3 && !outside; ++axis) {
                    outside = point[axis] < std::min(line.from[axis], line.to[axis]) - tolerance_ ||
                              point[axis] > std::max(line.from[axis], line.to[axis]) + tolerance_;
                }
                if (outside) continue;
                const auto [along, away] = line.foot(point);
                if (away > tolerance_) continue;
                if (along <= tolerance_) {
                    unite(end, 2 * k);
                } else if (along >= line.run - tolerance_) {
                    unite(end, 2 * k + 1);
                } else {
                    taps_[k].emplace_back(along, end);
                }
            }
        }
    }

    /// Taps of one line that are no farther apart than the tolerance are one joint.
    void join_taps() {
        for (auto& taps : taps_) {
            std::sort(taps.begin(), taps.end());
            for (std::size_t k = 1; k < taps.size(); ++k) {
                if (taps[k].first - taps[k - 1].first <= tolerance_)
                    unite(taps[k - 1].second, taps[k].second);
            }
        }
    }

    void cut() {
        for (std::size_t k = 0; k < lines_.size(); ++k) {
            const auto& taps = taps_[k];
            std::size_t at = joint_of(2 * k);
            double begin = 0.0;
            const auto add = [&](double along, std::size_t joint) {
                if (joint == at) return;
                result_.pieces.push_back({k, at, joint, begin, along, false, false, 0});
                at = joint;
                begin = along;
            };
            for (const auto& [along, end] : taps) add(along, joint_of(end));
            add(lines_[k].run, joint_of(2 * k + 1));
        }
        for (std::size_t piece = 0; piece < result_.pieces.size(); ++piece) {
            result_.at_joint[result_.pieces[piece].begin].push_back(piece);
            result_.at_joint[result_.pieces[piece].end].push_back(piece);
        }
    }

    const std::vector<Line>& lines_;
    double tolerance_;
    std::vector<std::size_t> joints_;                                ///< a forest of ends that meet
    std::vector<std::vector<std::pair<double, std::size_t>>> taps_;  ///< ends along each line
    JoinedLines result_;
};

}  // namespace

double distance(const Point& a, const Point& b) { return std::hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]); }

std::pair<double, double> Line::foot(const Point& point) const {
    double along = 0.0;
    for (std::size_t k = 0; k < 3; ++k) along += (point[k] - from[k]) * (to[k] - from[k]);
    along = std::clamp(along / run, 0.0, run);
    Point at{};
    for (std::size_t k = 0; k < 3; ++k) at[k] = std::lerp(from[k], to[k], along / run);
    return {along, distance(at, point)};
}

JoinedLines join_lines(const std::vector<Line>& lines, double tolerance) {
    return Joiner(lines, tolerance).join();
}

}  // namespace oxfade::scenario::detail
