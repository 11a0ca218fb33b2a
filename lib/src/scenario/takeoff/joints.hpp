#pragma once

#include <array>
#include <cstddef>
#include <map>
#include <utility>
#include <vector>

/// Drawn pipes as lines, and the joints where they meet.
namespace oxfade::scenario::detail {

using Point = std::array<double, 3>;

double distance(const Point& a, const Point& b);

/// A straight pipe as drawn.
struct Line {
    std::size_t row = 0;
    Point from{}, to{};
    double run = 0.0;     ///< distance of its ends [m]
    double length = 0.0;  ///< as given, else the same [m]

    /// Where along the line a point is nearest [m from its first end], and how far away it is there [m].
    std::pair<double, double> foot(const Point& point) const;
};

/// A piece of a line between two joints.
struct Piece {
    std::size_t line = 0;
    std::size_t begin = 0, end = 0;       ///< joints, in the direction drawn
    double begin_at = 0.0, end_at = 0.0;  ///< along the line [m]
    bool reached = false, turned = false;
    std::size_t pipe = 0;  ///< in the drawing, where it is reached
};

/// Lines cut where ends of others meet them.
struct JoinedLines {
    std::vector<Piece> pieces;                                 ///< those of a line follow each other
    std::map<std::size_t, std::vector<std::size_t>> at_joint;  ///< pieces that end at each joint
};

/// Joins ends that are no farther apart than the tolerance, with each other or along a line.
JoinedLines join_lines(const std::vector<Line>& lines, double tolerance);

}  // namespace oxfade::scenario::detail
