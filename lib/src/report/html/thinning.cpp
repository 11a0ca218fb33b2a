#include "report/html/thinning.hpp"

#include <algorithm>
#include <cmath>
#include <queue>

namespace oxfade::report::detail {
namespace {

constexpr std::size_t most_curves = 48;  ///< that are looked at: neighbours are much alike
constexpr double least_oxygen = 1e-5;    ///< smaller changes of it do not show

/// A stretch between two kept rows, and where a curve leaves the straight line farthest.
struct Segment {
    double off = 0.0;
    std::size_t first = 0, last = 0, worst = 0;
    bool operator<(const Segment& other) const { return off < other.off; }
};

/// Rows at which water at a low point, or in a vent, is seen to have closed or freed a way, and those before
/// them; of many some, evenly.
std::vector<std::size_t> switching_rows(const outcome::History& history, std::size_t most) {
    const std::size_t rows = history.times.size(), points = history.water.columns;
    if (points == 0) return {};
    const std::size_t vents = history.vents.size() / rows;
    const auto differ = [&](std::size_t row) {
        for (std::size_t p = 0; p < points; ++p) {
            if (history.passages[row * points + p] != history.passages[(row - 1) * points + p]) return true;
        }
        for (std::size_t v = 0; v < vents; ++v) {
            const auto stopped = [&](std::size_t k) {
                return history.vents[k * vents + v] == outcome::VentState::stopped;
            };
            if (stopped(row) != stopped(row - 1)) return true;
        }
        return false;
    };
    std::vector<std::size_t> found;
    for (std::size_t row = 1; row < rows; ++row) {
        if (differ(row)) found.push_back(row);
    }
    const std::size_t step = 1 + 2 * found.size() / std::max<std::size_t>(1, most);
    std::vector<std::size_t> kept;
    for (std::size_t k = 0; k < found.size(); k += step) {
        kept.push_back(found[k] - 1);
        kept.push_back(found[k]);
    }
    return kept;
}

}  // namespace

std::vector<std::size_t> shape_rows(const std::vector<double>& times, std::size_t curves,
                                    const std::function<double(std::size_t row, std::size_t curve)>& value,
                                    std::size_t most) {
    if (times.empty()) return {};
    const auto look_at = [&](std::size_t first, std::size_t last) {
        Segment segment{0.0, first, last, first};
        for (std::size_t c = 0; c < curves; ++c) {
            const double begin = value(first, c);
            const double slope = (value(last, c) - begin) / (times[last] - times[first]);
            for (std::size_t row = first + 1; row < last; ++row) {
                const double off = std::abs(value(row, c) - begin - slope * (times[row] - times[first]));
                if (off <= segment.off) continue;
                segment.off = off;
                segment.worst = row;
            }
        }
        return segment;
    };
    std::vector<std::size_t> kept{0};
    if (times.size() > 1) kept.push_back(times.size() - 1);
    std::priority_queue<Segment> segments;
    if (times.size() > 2) segments.push(look_at(0, times.size() - 1));
    while (!segments.empty() && kept.size() < most) {
        const Segment segment = segments.top();
        segments.pop();
        if (segment.off <= 0.0) break;
        kept.push_back(segment.worst);
        segments.push(look_at(segment.first, segment.worst));
        segments.push(look_at(segment.worst, segment.last));
    }
    std::sort(kept.begin(), kept.end());
    return kept;
}

std::vector<std::size_t> telling_rows(const outcome::History& history, std::size_t most) {
    const std::size_t rows = history.times.size();
    if (rows == 0) return {};
    const std::size_t third = std::max<std::size_t>(2, most / 3);
    const std::size_t columns = history.oxygen.columns;
    const std::size_t step = (columns + most_curves - 1) / most_curves;
    const auto oxygen = [&](std::size_t row, std::size_t curve) {
        return std::log10(std::max(history.oxygen.at(row, curve * step), least_oxygen));
    };
    const outcome::Series& pressures = history.zone_of.empty() ? history.pressure : history.zone_pressure;
    const auto pressure = [&](std::size_t row, std::size_t curve) { return pressures.at(row, curve); };
    std::vector<std::size_t> kept =
        shape_rows(history.times, columns / std::max<std::size_t>(step, 1), oxygen, third);
    const auto more = shape_rows(history.times, std::min(pressures.columns, most_curves), pressure, third);
    const auto switching = switching_rows(history, third);
    kept.insert(kept.end(), more.begin(), more.end());
    kept.insert(kept.end(), switching.begin(), switching.end());
    for (std::size_t k = 0; k < third; ++k) kept.push_back(k * (rows - 1) / (third - 1));
    std::sort(kept.begin(), kept.end());
    kept.erase(std::unique(kept.begin(), kept.end()), kept.end());
    return kept;
}

}  // namespace oxfade::report::detail
