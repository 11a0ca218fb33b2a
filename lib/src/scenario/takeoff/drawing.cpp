#include "scenario/takeoff/drawing.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <deque>
#include <limits>
#include <map>
#include <set>

#include "scenario/takeoff/joints.hpp"
#include "text/number.hpp"

namespace oxfade::scenario::detail {
namespace {

class Drawer {
  public:
    Drawer(const std::vector<const TakeoffRow*>& rows, double tolerance, RowFaults& faults)
        : rows_(rows), tolerance_(tolerance), faults_(faults) {}

    Drawing draw() {
        drawing_.far_end.resize(rows_.size());
        drawing_.last.resize(rows_.size());
        take_lines();
        if (lines_.empty()) return std::move(drawing_);
        JoinedLines joined = join_lines(lines_, tolerance_);
        pieces_ = std::move(joined.pieces);
        at_joint_ = std::move(joined.at_joint);
        tell_vanished();
        const auto root = find_root();
        if (!root) return std::move(drawing_);
        walk(*root);
        tell_unconnected();
        name_pipes();
        find_near_misses();
        return std::move(drawing_);
    }

  private:
    const TakeoffRow& row_of(const Line& line) const { return *rows_[line.row]; }
    std::string words(double length, const Line& line) const { return drawn_length(length, row_of(line)); }

    void take_lines() {
        for (std::size_t k = 0; k < rows_.size(); ++k) {
            const TakeoffRow& row = *rows_[k];
            if (!row.drawn()) continue;
            Line line;
            line.row = k;
            for (std::size_t axis = 0; axis < 3; ++axis) {
                line.from[axis] = row.near[axis] ? row.near[axis]->value : 0.0;
                line.to[axis] = row.far[axis] ? row.far[axis]->value : 0.0;
            }
            line.run = distance(line.from, line.to);
            line.length = row.length ? row.length->value : line.run;
            if (usable(line)) lines_.push_back(line);
        }
    }

    bool usable(const Line& line) {
        const TakeoffRow& row = row_of(line);
        if (!(line.run > tolerance_)) {
            faults_.add(row.index,
                        fmt::format("the ends of `{}` are {} apart, no more than the tolerance", row.name,
                                    words(line.run, line)),
                        "a smaller tolerance, or other coordinates");
            return false;
        }
        if (line.length < line.run - tolerance_) {
            faults_.add(row.index, Column::length,
                        fmt::format("is less than the {} between its ends", words(line.run, line)),
                        "leave it out, and it follows from the coordinates");
            return false;
        }
        return true;
    }

    /// Lines of which nothing is left.
    void tell_vanished() {
        std::vector<bool> there(lines_.size(), false);
        for (const Piece& piece : pieces_) there[piece.line] = true;
        for (std::size_t k = 0; k < lines_.size(); ++k) {
            if (there[k]) continue;
            faults_.add(row_of(lines_[k]).index,
                        fmt::format("both ends of `{}` meet at one point", row_of(lines_[k]).name),
                        "a smaller tolerance, or other coordinates");
        }
    }

    // --- the valve -----------------------------------------------------------------------------------

    struct FreeEnd {
        std::size_t joint = 0, line = 0;
        double height = 0.0;
    };

    std::vector<FreeEnd> free_ends(bool marked) const {
        std::vector<FreeEnd> ends;
        for (const auto& [joint, pieces] : at_joint_) {
            if (pieces.size() != 1) continue;
            const Piece& piece = pieces_[pieces.front()];
            const Line& line = lines_[piece.line];
            if (marked && !row_of(line).at_valve) continue;
            ends.push_back({joint, piece.line, piece.begin == joint ? line.from[2] : line.to[2]});
        }
        return ends;
    }

    std::optional<std::size_t> find_root() {
        const bool marks = std::any_of(lines_.begin(), lines_.end(),
                                       [&](const Line& line) { return row_of(line).at_valve; });
        std::vector<FreeEnd> ends = free_ends(marks);
        if (ends.empty()) {
            const Line& line = *std::find_if(lines_.begin(), lines_.end(),
                                             [&](const Line& l) { return !marks || row_of(l).at_valve; });
            faults_.add(row_of(line).index,
                        marks ? "the pipe at the valve has no free end" : "no pipe has a free end",
                        "the valve is where nothing else is joined");
            return std::nullopt;
        }
        std::sort(ends.begin(), ends.end(), [&](const FreeEnd& a, const FreeEnd& b) {
            return std::pair(a.height, row_of(lines_[a.line]).line) <
                   std::pair(b.height, row_of(lines_[b.line]).line);
        });
        const bool clear = ends.size() == 1 || ends[1].height - ends[0].height > tolerance_;
        if (clear) return ends[0].joint;
        const TakeoffRow &first = row_of(lines_[ends[0].line]), &second = row_of(lines_[ends[1].line]);
        faults_.add(first.index, Column::kind,
                    fmt::format("nothing says where the valve is: `{}` and `{}` (line {}) end equally low",
                                first.name, second.name, second.line),
                    "mark the pipe at the valve as riser in a column `kind`");
        return std::nullopt;
    }

    // --- the tree ------------------------------------------------------------------------------------

    void walk(std::size_t root) {
        std::map<std::size_t, std::optional<std::size_t>> arrived{
            {root, std::nullopt}};  // pipe that ends at a joint
        std::deque<std::size_t> open{root};
        while (!open.empty()) {
            const std::size_t joint = open.front();
            open.pop_front();
            for (const std::size_t index : at_joint_[joint]) {
                Piece& piece = pieces_[index];
                if (piece.reached) continue;
                piece.reached = true;
                piece.turned = piece.end == joint;
                const std::size_t next = piece.turned ? piece.begin : piece.end;
                piece.pipe = drawing_.pipes.size();
                add_pipe(piece, arrived[joint]);
                const auto [met, fresh] = arrived.emplace(next, piece.pipe);
                if (fresh) {
                    open.push_back(next);
                } else if (met->second) {
                    drawing_.links.emplace_back(*met->second, piece.pipe);
                }
            }
        }
    }

    void add_pipe(const Piece& piece, std::optional<std::size_t> before) {
        const Line& line = lines_[piece.line];
        DrawnPipe pipe;
        pipe.row = line.row;
        pipe.before = before;
        pipe.length = (piece.end_at - piece.begin_at) * line.length / line.run;
        const TakeoffRow& row = row_of(line);
        if (row.has_heights()) {
            const auto height = [&](double at) { return std::lerp(line.from[2], line.to[2], at / line.run); };
            pipe.heights = {height(piece.begin_at), height(piece.end_at)};
            if (piece.turned) std::swap((*pipe.heights)[0], (*pipe.heights)[1]);
        }
        drawing_.pipes.push_back(std::move(pipe));
    }

    void name_pipes() {
        for (std::size_t first = 0; first < pieces_.size();) {
            std::size_t last = first;
            while (last + 1 < pieces_.size() && pieces_[last + 1].line == pieces_[first].line) ++last;
            name_line(first, last);
            first = last + 1;
        }
    }

    void name_line(std::size_t first, std::size_t last) {
        const Line& line = lines_[pieces_[first].line];
        const std::string& name = row_of(line).name;
        if (!pieces_[first].reached) return;
        bool forward = true, backward = true;
        for (std::size_t k = first; k <= last; ++k) (pieces_[k].turned ? forward : backward) = false;
        const std::size_t count = last - first + 1;
        for (std::size_t k = 0; k < count; ++k) {
            const Piece& piece = pieces_[backward ? last - k : first + k];
            const bool keeps = k + 1 == count && (forward || backward);
            drawing_.pipes[piece.pipe].name = keeps ? name : fmt::format("{} {}", name, k + 1);
        }
        const std::size_t outer = pieces_[backward ? first : last].pipe;
        drawing_.last[line.row] = outer;
        if (forward || backward) drawing_.far_end[line.row] = outer;
    }

    // --- what does not meet --------------------------------------------------------------------------

    void tell_unconnected() {
        std::vector<bool> told(pieces_.size(), false);
        for (std::size_t start = 0; start < pieces_.size(); ++start) {
            if (pieces_[start].reached || told[start]) continue;
            std::vector<std::size_t> part{start};
            told[start] = true;
            for (std::size_t k = 0; k < part.size(); ++k) {
                for (const std::size_t joint : {pieces_[part[k]].begin, pieces_[part[k]].end}) {
                    for (const std::size_t next : at_joint_[joint]) {
                        if (told[next]) continue;
                        told[next] = true;
                        part.push_back(next);
                    }
                }
            }
            tell_part(part);
        }
    }

    void tell_part(const std::vector<std::size_t>& part) {
        std::set<std::size_t> members;
        for (const std::size_t piece : part) members.insert(pieces_[piece].line);
        double gap = std::numeric_limits<double>::infinity();
        std::size_t nearest = 0;
        for (const Piece& piece : pieces_) {
            if (!piece.reached) continue;
            for (const std::size_t member : members) {
                const double found = between(lines_[member], lines_[piece.line]);
                if (found >= gap) continue;
                gap = found;
                nearest = piece.line;
            }
        }
        const Line& first = lines_[*members.begin()];
        const TakeoffRow &row = row_of(first), &other = row_of(lines_[nearest]);
        faults_.add(
            row.index, fmt::format("{} not connect with the rest", listed(members)),
            fmt::format("the nearest pipe, `{}` (line {}), is {} away; correct the coordinates, or give a "
                        "tolerance above that (now {})",
                        other.name, other.line, words(gap, first), words(tolerance_, first)));
    }

    std::string listed(const std::set<std::size_t>& members) const {
        constexpr std::size_t most = 10;
        const TakeoffRow& first = row_of(lines_[*members.begin()]);
        if (members.size() == 1) return fmt::format("`{}` does", first.name);
        std::vector<int> at;
        at.reserve(members.size());
        for (const std::size_t member : members) at.push_back(row_of(lines_[member]).line);
        std::sort(at.begin(), at.end());
        const auto shown = static_cast<std::ptrdiff_t>(std::min(most, at.size()));
        return fmt::format("`{}` and what is joined to it (lines {}{}) do", first.name,
                           fmt::join(at.begin(), at.begin() + shown, ", "),
                           at.size() > most ? " and more" : "");
    }

    static double between(const Line& a, const Line& b) {
        return std::min(
            {b.foot(a.from).second, b.foot(a.to).second, a.foot(b.from).second, a.foot(b.to).second});
    }

    /// Free ends that lie suspiciously near another pipe.
    void find_near_misses() {
        constexpr double near = 6.0;  // tolerances
        for (const auto& [joint, at] : at_joint_) {
            if (at.size() != 1 || !pieces_[at.front()].reached) continue;
            const Piece& piece = pieces_[at.front()];
            const Line& own = lines_[piece.line];
            const Point& point = piece.begin == joint ? own.from : own.to;
            for (const Line& other : lines_) {
                if (&other == &own || piece.begin == piece.end || touches(piece.line, other)) continue;
                const double away = other.foot(point).second;
                if (away <= near * tolerance_) {
                    drawing_.near_misses.push_back({own.row, other.row, away});
                    break;
                }
            }
        }
    }

    bool touches(std::size_t line, const Line& other) const {
        return between(lines_[line], other) <= tolerance_;
    }

    const std::vector<const TakeoffRow*>& rows_;
    double tolerance_;
    RowFaults& faults_;
    std::vector<Line> lines_;
    std::vector<Piece> pieces_;
    std::map<std::size_t, std::vector<std::size_t>> at_joint_;  ///< pieces that end there
    Drawing drawing_;
};

}  // namespace

bool in_us_units(const TakeoffRow& row) {
    for (const auto* measure : {&row.near[0], &row.length, &row.near[2]}) {
        if (!*measure) continue;
        const auto unit = text::leading_number((*measure)->text).rest;
        return unit == "ft" || unit == "in" || unit == "feet" || unit == "foot" || unit == "inch" ||
               unit == "inches";
    }
    return false;
}

std::string drawn_length(double length, const TakeoffRow& row) {
    return in_us_units(row) ? fmt::format("{:.3g} ft", length / 0.3048) : fmt::format("{:.3g} m", length);
}

Drawing draw(const std::vector<const TakeoffRow*>& rows, double tolerance, RowFaults& faults) {
    return Drawer(rows, tolerance, faults).draw();
}

}  // namespace oxfade::scenario::detail
