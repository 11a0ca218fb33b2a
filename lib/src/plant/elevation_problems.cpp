#include <fmt/format.h>

#include <cmath>

#include "plant/checks.hpp"
#include "text/key_path.hpp"

namespace oxfade::plant::detail {
namespace {

constexpr double rounding = 0.01;  // between a pitch and elevations that say the same [m]

/// Looks at the heights of one riser's pipes.
class Heights {
  public:
    Heights(Checks& checks, const Riser& riser, const PipeTree& tree, const std::string& path)
        : checks_(checks), riser_(riser), tree_(tree), path_(path), far_ends_(riser.pipes.size()) {
        segments_ = text::entry_segments(names_of(riser.pipes));
    }

    void check() {
        for (std::size_t i = 0; i < riser_.pipes.size(); ++i) check_pipe(i);
        for (const std::size_t i : tree_.parents_first()) check_joint(i);
        for (std::size_t i = 0; i < riser_.links.size(); ++i) check_link(i);
    }

  private:
    std::string key(std::size_t pipe, std::string_view of) const {
        const auto list = text::join_path(path_, "pipe");
        return text::join_path(text::join_path(list, segments_[pipe]), of);
    }

    void check_pipe(std::size_t index) {
        const Pipe& pipe = riser_.pipes[index];
        if (pipe.pitch) checks_.within(key(index, "pitch"), *pipe.pitch, -1.0, 1.0, "");
        if (!pipe.elevation) return;
        const auto [near, far] = *pipe.elevation;
        constexpr double deepest = -1000.0, highest = 10'000.0;
        for (const double end : {near, far}) {
            if (!checks_.within(key(index, "elevations"), end, deepest, highest, "m")) return;
        }
        const Cylinder* shape = pipe.geometry();
        if (shape == nullptr || !(shape->length > 0.0)) return;
        const double rise = far - near;
        if (std::abs(rise) > shape->length * (1.0 + 1e-6)) {
            checks_.add(key(index, "elevations"), shown(near, far),
                        fmt::format("the ends are {:.4g} m apart in height, more than the pipe is long",
                                    std::abs(rise)),
                        fmt::format("at most {:.4g} m, its length", shape->length));
        } else if (pipe.pitch && std::abs(*pipe.pitch * shape->length - rise) > rounding) {
            checks_.add(key(index, "pitch"), fmt::format("{:.4g}", *pipe.pitch),
                        fmt::format("contradicts the elevations, which make it {:.4g}", rise / shape->length),
                        "leave one of the two out");
        }
    }

    /// The two ends that are joined must be at about one height; what is between them is a pipe too.
    void check_joint(std::size_t index) {
        const Pipe& pipe = riser_.pipes[index];
        const auto parent = tree_.parent(index);
        const std::optional<double> before = parent ? far_ends_[*parent] : std::nullopt;
        if (pipe.elevation) {
            const auto [near, far] = *pipe.elevation;
            if (before && std::abs(near - *before) > limits::joint_step) {
                checks_.add(
                    key(index, "elevations"), shown(near, far),
                    fmt::format("the near end is at {:.4g} m, but `{}`, which it hangs on, ends at {:.4g} m",
                                near, riser_.pipes[*parent].name, *before),
                    fmt::format("at most {:.4g} m apart; give the pipe between them as a pipe of its own",
                                limits::joint_step));
            }
            far_ends_[index] = far;
        } else if (before && pipe.pitch && pipe.geometry() != nullptr) {
            far_ends_[index] = *before + *pipe.pitch * pipe.geometry()->length;
        }
    }

    void check_link(std::size_t index) {
        const auto first = tree_.index(riser_.links[index].first);
        const auto second = tree_.index(riser_.links[index].second);
        if (!first || !second || !far_ends_[*first] || !far_ends_[*second]) return;
        const double a = *far_ends_[*first], b = *far_ends_[*second];
        if (!(std::abs(a - b) > limits::joint_step)) return;
        const auto list = text::join_path(path_, "link");
        checks_.add(text::join_path(text::join_path(list, std::to_string(index)), "between"), shown(a, b),
                    fmt::format("the two far ends are at {:.4g} m and {:.4g} m", a, b),
                    fmt::format("at most {:.4g} m apart", limits::joint_step));
    }

    static std::string shown(double near, double far) { return fmt::format("{:.6g} m, {:.6g} m", near, far); }

    Checks& checks_;
    const Riser& riser_;
    const PipeTree& tree_;
    const std::string& path_;
    std::vector<std::string> segments_;
    std::vector<std::optional<double>> far_ends_;  ///< as far as elevations and pitches say
};

}  // namespace

void check_elevations(Checks& checks, const Riser& riser, const PipeTree& tree, const std::string& path) {
    Heights(checks, riser, tree, path).check();
}

}  // namespace oxfade::plant::detail
