#include "scenario/takeoff/hanging.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "text/nearest.hpp"

namespace oxfade::scenario::detail {
namespace {

class Hanger {
  public:
    Hanger(const std::vector<const TakeoffRow*>& rows, double tolerance, RowFaults& faults)
        : rows_(rows), tolerance_(tolerance), faults_(faults) {}

    /// What can be said where some rows cannot be read.
    void check_names() {
        take_names();
        for (std::size_t k = 0; k < rows_.size(); ++k) {
            const bool known =
                row(k).from.empty() || is_valve(row(k).from) || names_.count(lower_case(row(k).from)) != 0;
            if (!known) refuse_name(k);
        }
    }

    Hanging hang() {
        result_.parent.resize(rows_.size());
        result_.each.assign(rows_.size(), 1);
        result_.group.resize(rows_.size());
        result_.drawing.far_end.resize(rows_.size());
        result_.drawing.last.resize(rows_.size());
        take_names();
        hang_drawn();
        hang_named();
        if (!result_.root || !faults_.empty()) return std::move(result_);
        walk();
        for (const std::size_t row : result_.order) place(row);
        for (const LineGroup& group : result_.groups) check_group(group);
        return std::move(result_);
    }

  private:
    const TakeoffRow& row(std::size_t k) const { return *rows_[k]; }

    void take_names() {
        for (std::size_t k = 0; k < rows_.size(); ++k) {
            const auto [met, fresh] = names_.emplace(lower_case(row(k).name), k);
            if (fresh) continue;
            faults_.add(row(k).index, Column::name,
                        fmt::format("the row of line {} has this name too", row(met->second).line),
                        "a name of its own for each row of a system");
        }
    }

    bool any_drawn() const {
        return std::any_of(rows_.begin(), rows_.end(), [](const TakeoffRow* r) { return r->drawn(); });
    }

    void hang_drawn() {
        if (!any_drawn()) return;
        for (std::size_t k = 0; k < rows_.size(); ++k) {
            if (!row(k).drawn()) continue;
            if (row(k).count.value_or(1) != 1)
                faults_.add(row(k).index, Column::count, "a pipe with coordinates is one pipe",
                            "a row for each pipe; or leave its coordinates out");
            if (row(k).spacing || row(k).first || row(k).both_sides)
                faults_.add(row(k).index,
                            row(k).spacing ? Column::spacing
                            : row(k).first ? Column::first
                                           : Column::sides,
                            "branch lines along a main have no coordinates",
                            "a row for each line; or leave the coordinates out");
        }
        if (!faults_.empty()) return;
        result_.drawing = draw(rows_, tolerance_, faults_);
        for (const DrawnPipe& pipe : result_.drawing.pipes) {
            if (!pipe.before) {
                result_.root = pipe.row;
            } else if (result_.drawing.pipes[*pipe.before].row != pipe.row && !result_.parent[pipe.row] &&
                       result_.root != pipe.row) {
                result_.parent[pipe.row] = result_.drawing.pipes[*pipe.before].row;
            }
        }
        for (std::size_t k = 0; k < rows_.size() && faults_.empty(); ++k) check_drawn_from(k);
    }

    /// What a drawn row says it hangs on has to be what its coordinates say.
    void check_drawn_from(std::size_t k) {
        const std::string& from = row(k).from;
        if (!row(k).drawn() || from.empty() || is_valve(from)) return;
        const auto named = names_.find(lower_case(from));
        if (named != names_.end() && (result_.parent[k] == named->second)) return;
        const auto parent = result_.parent[k];
        if (named == names_.end()) return refuse_name(k);
        faults_.add(row(k).index, Column::from, "is not what its coordinates say",
                    parent ? fmt::format("by them it hangs on `{}`", row(*parent).name)
                           : std::string("by them it begins at the valve"));
    }

    static bool is_valve(const std::string& from) {
        const std::string word = lower_case(from);
        return word == "valve" || word == "dry valve" || word == "dry pipe valve" ||
               word == "preaction valve" || word == "-";
    }

    void refuse_name(std::size_t k) {
        std::vector<std::string> known;
        for (const TakeoffRow* other : rows_) {
            if (other != rows_[k] && other->named) known.push_back(other->name);
        }
        faults_.add(row(k).index, Column::from, "there is no row of this name in the system",
                    text::suggest(row(k).from, known, "its rows"));
    }

    void hang_named() {
        std::vector<std::size_t> open;
        for (std::size_t k = 0; k < rows_.size(); ++k) {
            if (row(k).drawn()) continue;
            const auto named = names_.find(lower_case(row(k).from));
            if (!row(k).from.empty() && named != names_.end()) {
                result_.parent[k] = named->second;
            } else if (row(k).from.empty() || is_valve(row(k).from)) {
                open.push_back(k);
            } else {
                refuse_name(k);
            }
        }
        if (any_drawn()) {
            for (const std::size_t k : open)
                faults_.add(row(k).index, Column::from,
                            fmt::format("nothing says what `{}` hangs on", row(k).name),
                            "the name of that row; or coordinates of both ends");
        } else {
            choose_root(open);
        }
    }

    void choose_root(std::vector<std::size_t> open) {
        if (open.empty()) {
            faults_.add(row(0).index, "no row of the system begins at the valve", "one row without `from`");
            return;
        }
        std::vector<std::size_t> marked;
        for (const std::size_t k : open) {
            if (row(k).at_valve || is_valve(row(k).from)) marked.push_back(k);
        }
        result_.root = marked.empty() ? open.front() : marked.front();
        for (const std::size_t k : open) {
            if (k == *result_.root) continue;
            faults_.add(
                row(k).index, Column::from, fmt::format("nothing says what `{}` hangs on", row(k).name),
                fmt::format(
                    "the name of that row; only the pipe at the valve, here `{}` (line {}), hangs on none",
                    row(*result_.root).name, row(*result_.root).line));
        }
    }

    void walk() {
        std::vector<std::vector<std::size_t>> behind(rows_.size());
        for (std::size_t k = 0; k < rows_.size(); ++k) {
            if (result_.parent[k]) behind[*result_.parent[k]].push_back(k);
        }
        std::vector<bool> reached(rows_.size(), false);
        result_.order.push_back(*result_.root);
        reached[*result_.root] = true;
        for (std::size_t k = 0; k < result_.order.size(); ++k) {
            for (const std::size_t next : behind[result_.order[k]]) {
                if (reached[next]) continue;
                reached[next] = true;
                result_.order.push_back(next);
            }
        }
        for (std::size_t k = 0; k < rows_.size(); ++k) {
            if (reached[k]) continue;
            faults_.add(row(k).index, Column::from,
                        fmt::format("`{}` does not connect with the pipe at the valve, `{}` (line {})",
                                    row(k).name, row(*result_.root).name, row(*result_.root).line),
                        "`from` has to lead there, row by row");
        }
    }

    bool is_group(std::size_t k) const {
        const TakeoffRow& r = row(k);
        return r.spacing || r.first || r.both_sides ||
               (r.branch_line && !r.drawn() && r.count.value_or(1) > 1);
    }

    /// Counts are those of the system; here they become those of one pipe that a row hangs on.
    void place(std::size_t k) {
        totals_.resize(rows_.size(), 1);
        const auto parent = result_.parent[k];
        if (!parent) {
            if (row(k).count.value_or(1) != 1)
                faults_.add(row(k).index, Column::count, "the pipe at the valve is one pipe",
                            "1, or nothing");
            if (is_group(k))
                faults_.add(row(k).index, Column::from, "branch lines need a main",
                            "the name of the row they leave");
            return;
        }
        if (row(k).drawn()) return;
        const int above = totals_[*parent];
        const auto inner = result_.group[*parent];
        if (inner) return place_piece(k, *inner, above);
        if (is_group(k)) return place_group(k, *parent, above);
        totals_[k] = row(k).count.value_or(above);
        if (totals_[k] % std::max(above, 1) != 0) return refuse_count(k, *parent, above);
        result_.each[k] = totals_[k] / std::max(above, 1);
        require_far_end(k, *parent);
    }

    void refuse_count(std::size_t k, std::size_t parent, int above) {
        faults_.add(
            row(k).index, Column::count,
            fmt::format("does not go with the {} of `{}`", above, row(parent).name),
            fmt::format("a multiple of {}, for counts are of the whole system; or nothing: one on each",
                        above));
    }

    /// What hangs on a drawn pipe by name needs it to end at one place.
    void require_far_end(std::size_t k, std::size_t parent) {
        if (!row(parent).drawn() || result_.drawing.far_end[parent]) return;
        faults_.add(row(k).index, Column::from,
                    fmt::format("`{}` is entered between its ends, and has no far one", row(parent).name),
                    "coordinates of both ends for this row too");
    }

    void place_group(std::size_t k, std::size_t parent, int above) {
        LineGroup group;
        group.main = parent;
        group.along = row(parent).name;
        if (!row(k).count && !row(k).spacing) {
            faults_.add(row(k).index, Column::count, "nothing says how many branch lines there are",
                        "a count, or a spacing");
            return;
        }
        if (row(k).count && *row(k).count % above != 0) return refuse_count(k, parent, above);
        if (row(k).count) group.number = *row(k).count / above;
        if (row(k).both_sides.value_or(false) && group.number.value_or(2) % 2 != 0) {
            faults_.add(row(k).index, Column::count, "must be even where lines leave on both sides",
                        "two lines leave at each place; for a single one add a row with one side");
            return;
        }
        if (row(parent).drawn() && is_cut(parent)) {
            faults_.add(row(k).index, Column::from,
                        fmt::format("`{}` is cut where drawn pipes leave it", row(parent).name),
                        "coordinates for these branch lines too, a row for each");
            return;
        }
        totals_[k] = row(k).count.value_or(0);
        result_.group[k] = result_.groups.size();
        group.pieces.push_back(k);
        result_.groups.push_back(std::move(group));
    }

    bool is_cut(std::size_t k) const {
        return std::count_if(result_.drawing.pipes.begin(), result_.drawing.pipes.end(),
                             [&](const DrawnPipe& pipe) { return pipe.row == k; }) > 1;
    }

    /// A row that hangs on a branch line of a group: its next piece.
    void place_piece(std::size_t k, std::size_t inner, int above) {
        LineGroup& group = result_.groups[inner];
        const TakeoffRow& before = row(*result_.parent[k]);
        if (row(k).spacing || row(k).first || row(k).both_sides) {
            faults_.add(row(k).index, Column::from,
                        fmt::format("`{}` is a row of branch lines, and no main for others", before.name),
                        "the name of a main; or list these lines one by one");
            return;
        }
        if (group.pieces.back() != *result_.parent[k]) {
            faults_.add(
                row(k).index, Column::from,
                fmt::format("`{}` goes on as `{}` already", before.name, row(group.pieces.back()).name),
                "a branch line is one run of pieces; list lines that fork one by one");
            return;
        }
        if (row(k).count && *row(k).count != above) {
            if (above == 0) {
                faults_.add(row(k).index, Column::count,
                            fmt::format("the spacing of `{}` says how many lines there are",
                                        row(group.pieces.front()).name),
                            "leave it out: one piece on each line");
            } else {
                faults_.add(row(k).index, Column::count,
                            fmt::format("does not go with the {} branch lines of `{}`", above,
                                        row(group.pieces.front()).name),
                            fmt::format("{}, or nothing: one piece on each line", above));
            }
            return;
        }
        totals_[k] = above;
        result_.group[k] = inner;
        group.pieces.push_back(k);
    }

    /// What the lines of a group cannot have.
    void check_group(const LineGroup& group) {
        for (const std::size_t k : group.pieces) {
            if (row(k).water)
                faults_.add(row(k).index, Column::low_point,
                            "a row of branch lines has no trapped water of its own",
                            "list the line with the water by itself");
            if (!group.number && (row(k).vented || row(k).sampled))
                faults_.add(row(k).index, row(k).vented ? Column::vent : Column::sample,
                            "it is not said how many branch lines there are",
                            "a count for the row of branch lines");
        }
    }

    const std::vector<const TakeoffRow*>& rows_;
    double tolerance_;
    RowFaults& faults_;
    std::map<std::string, std::size_t> names_;
    std::vector<int> totals_;  ///< such pipes in the system; 0: not known
    Hanging result_;
};

}  // namespace

void check_names(const std::vector<const TakeoffRow*>& rows, RowFaults& faults) {
    Hanger(rows, 0.0, faults).check_names();
}

Hanging hang_rows(const std::vector<const TakeoffRow*>& rows, double tolerance, RowFaults& faults) {
    return Hanger(rows, tolerance, faults).hang();
}

}  // namespace oxfade::scenario::detail
