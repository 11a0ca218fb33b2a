#include "scenario/takeoff/piping.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "scenario/toml_text.hpp"

namespace oxfade::scenario::detail {
namespace {

/// Lists of a riser as text, each entry with its place in the takeoff.
class ListWriter {
  public:
    ListWriter(const Sheet& sheet, SystemPiping& system) : sheet_(sheet), system_(system) {}

    void entry(const std::string& list, const TakeoffRow& row) {
        list_ = list;
        inner_.clear();
        entry_ = entries_[list]++;
        system_.toml += fmt::format("[[riser.{}]]\n", list);
        system_.cells.push_back({list_, entry_, "", row.line, "", ""});
    }
    /// An entry of the list `pieces` of the one begun last.
    void piece(std::size_t index, const TakeoffRow& row) {
        inner_ = fmt::format("pieces.{}", index);
        system_.toml += fmt::format("[[riser.{}.pieces]]\n", list_);
        system_.cells.push_back({list_, entry_, inner_, row.line, "", ""});
    }
    void key(const char* key, const std::string& value, const TakeoffRow& row, std::optional<Column> column) {
        system_.toml += fmt::format("{} = {}\n", key, value);
        const std::string inner = inner_.empty() ? key : fmt::format("{}.{}", inner_, key);
        system_.cells.push_back({list_, entry_, inner, row.line, column ? sheet_.heading(*column) : "",
                                 column ? sheet_.cell(row.index, *column) : ""});
    }
    void text(const char* name, const std::string& value, const TakeoffRow& row,
              std::optional<Column> column) {
        key(name, toml_text(value), row, column);
    }

  private:
    const Sheet& sheet_;
    SystemPiping& system_;
    std::map<std::string, std::size_t> entries_;
    std::string list_, inner_;
    std::size_t entry_ = 0;
};

/// Writes one system.
class SystemWriter {
  public:
    SystemWriter(const Sheet& sheet, const std::vector<const TakeoffRow*>& rows, const Hanging& hanging,
                 RowFaults& faults, SystemPiping& system)
        : rows_(rows), hanging_(hanging), faults_(faults), system_(system), out_(sheet, system) {}

    void write() {
        for (const DrawnPipe& pipe : hanging_.drawing.pipes) drawn_pipe(pipe);
        for (const std::size_t k : hanging_.order) {
            if (!row(k).drawn() && !hanging_.group[k]) named_pipe(k);
        }
        for (const LineGroup& group : hanging_.groups) branch_lines(group);
        for (const auto& [first, second] : hanging_.drawing.links) link(first, second);
        for (std::size_t k = 0; k < rows_.size(); ++k) fittings(k);
        for (const NearMiss& miss : hanging_.drawing.near_misses) {
            system_.near_misses.push_back(fmt::format(
                "`{}` (line {}) ends {} from `{}` (line {})", row(miss.row).name, row(miss.row).line,
                drawn_length(miss.distance, row(miss.row)), row(miss.other).name, row(miss.other).line));
        }
    }

  private:
    const TakeoffRow& row(std::size_t k) const { return *rows_[k]; }
    const Drawing& drawing() const { return hanging_.drawing; }

    static std::string exact(double metres, const TakeoffRow& row) {
        return in_us_units(row) ? fmt::format("{:.12g} ft", metres / 0.3048)
                                : fmt::format("{:.12g} m", metres);
    }

    void note(const std::string& pipe, std::size_t k) {
        system_.row_of[pipe] = k;
        if (row(k).other_kind) system_.no_lines.insert(pipe);
    }

    void size(const TakeoffRow& r) {
        if (r.bore.empty()) {
            out_.text("nominal", r.nominal, r, Column::size);
            out_.text("schedule", r.schedule, r, Column::schedule);
        } else {
            out_.text("bore", r.bore, r, Column::bore);
        }
    }

    void drawn_pipe(const DrawnPipe& pipe) {
        const TakeoffRow& r = row(pipe.row);
        out_.entry("pipe", r);
        note(pipe.name, pipe.row);
        out_.text("name", pipe.name, r, Column::name);
        if (pipe.before) out_.text("from", drawing().pipes[*pipe.before].name, r, std::nullopt);
        size(r);
        out_.text("length", exact(pipe.length, r), r, std::nullopt);
        check_fall(r,
                   pipe.heights ? std::optional(((*pipe.heights)[1] - (*pipe.heights)[0]) / pipe.length)
                                : std::nullopt,
                   pipe.length);
        if (pipe.heights) {
            const auto& [near, far] = *pipe.heights;
            out_.key("elevations",
                     fmt::format("[{}, {}]", toml_text(exact(near, r)), toml_text(exact(far, r))), r,
                     Column::z1);
        } else {
            fall(r);
        }
    }

    void named_pipe(std::size_t k) {
        const TakeoffRow& r = row(k);
        out_.entry("pipe", r);
        note(r.name, k);
        out_.text("name", r.name, r, Column::name);
        if (hanging_.parent[k]) out_.text("from", far_end_of(*hanging_.parent[k]), r, Column::from);
        size(r);
        out_.text("length", r.length->text, r, Column::length);
        if (hanging_.each[k] != 1) out_.key("count", std::to_string(hanging_.each[k]), r, Column::count);
        check_fall(r, given_slope(r), r.length->value);
        if (r.has_heights()) {
            out_.key("elevations",
                     fmt::format("[{}, {}]", toml_text(r.near[2]->text), toml_text(r.far[2]->text)), r,
                     Column::z1);
        } else {
            fall(r);
        }
    }

    void fall(const TakeoffRow& r) {
        if (r.pitch) out_.text("pitch", r.pitch->text, r, Column::pitch);
        if (!r.position.empty()) out_.text("position", r.position, r, Column::position);
    }

    static std::optional<double> given_slope(const TakeoffRow& r) {
        if (!r.has_heights() || !r.length) return std::nullopt;
        return (r.far[2]->value - r.near[2]->value) / r.length->value;
    }

    static std::optional<double> said_slope(const TakeoffRow& r) {
        if (r.pitch) return r.pitch->value;
        if (r.position == "level") return 0.0;
        if (r.position == "vertical") return 1.0;
        if (r.position == "drop") return -1.0;
        return std::nullopt;
    }

    /// Position or pitch has to agree with the elevations.
    void check_fall(const TakeoffRow& r, std::optional<double> by_heights, double length) {
        constexpr double rounding = 0.02;  // [m]
        const auto said = said_slope(r);
        if (!said || !by_heights || std::abs(*said - *by_heights) * length <= rounding) return;
        const Column column = r.pitch ? Column::pitch : Column::position;
        if (contradicted_ == r.line) return;
        contradicted_ = r.line;
        faults_.add(r.index, column,
                    fmt::format("contradicts the elevations, which make it {:.3g} %", 100.0 * *by_heights),
                    "leave one of the two out");
    }

    void branch_lines(const LineGroup& group) {
        const TakeoffRow& first = row(group.pieces.front());
        system_.groups.push_back(first.name);
        out_.entry("branch_lines", first);
        out_.text("name", first.name, first, Column::name);
        out_.text("along", far_end_of(group.main), first, Column::from);
        if (group.number) out_.key("number", std::to_string(*group.number), first, Column::count);
        if (first.spacing) out_.text("spacing", first.spacing->text, first, Column::spacing);
        if (first.first) out_.text("first", first.first->text, first, Column::first);
        out_.text("sides", first.both_sides.value_or(false) ? "both" : "one", first, Column::sides);
        if (group.pieces.size() == 1) return line_piece(first);
        for (std::size_t k = 0; k < group.pieces.size(); ++k) {
            out_.piece(k, row(group.pieces[k]));
            line_piece(row(group.pieces[k]));
        }
    }

    void line_piece(const TakeoffRow& r) {
        size(r);
        out_.text("length", r.length->text, r, Column::length);
        const auto slope = given_slope(r);
        check_fall(r, slope, r.length->value);
        if (slope) {
            out_.text("pitch", fmt::format("{:.9g} %", 100.0 * *slope), r, Column::z1);
        } else {
            fall(r);
        }
    }

    void link(std::size_t first, std::size_t second) {
        const DrawnPipe &a = drawing().pipes[first], &b = drawing().pipes[second];
        out_.entry("link", row(b.row));
        out_.key("between", fmt::format("[{}, {}]", toml_text(a.name), toml_text(b.name)), row(b.row),
                 std::nullopt);
    }

    // --- fittings ------------------------------------------------------------------------------------

    std::string far_end_of(std::size_t k) const {
        const auto pipe = drawing().last[k];
        return pipe ? drawing().pipes[*pipe].name : row(k).name;
    }

    void fittings(std::size_t k) {
        const TakeoffRow& r = row(k);
        if (r.vented) {
            if (r.vent->value == 0.0) system_.marked_vents = true;
            for (const std::string& at : ends_of(k)) {
                out_.entry("vent", r);
                out_.text("name", at + " vent", r, std::nullopt);
                out_.text("at", at, r, std::nullopt);
                out_.text("diameter", r.vent->text, r, Column::vent);
            }
        }
        if (r.sampled) {
            const std::string at = hanging_.group[k] ? last_line_of(k) : far_end_of(k);
            out_.entry("sample", r);
            out_.text("name", r.sample.empty() ? at + " sample" : r.sample, r, Column::sample);
            out_.text("at", at, r, std::nullopt);
        }
        if (r.drained) system_.drains.push_back(r.name);
        if (r.water) low_point(k);
    }

    /// Pipes with the far ends of a row: one, or those of all lines in a row of branch lines, where two that
    /// face each other are one pipe.
    std::vector<std::string> ends_of(std::size_t k) const {
        if (!hanging_.group[k]) return {far_end_of(k)};
        const LineGroup& group = hanging_.groups[*hanging_.group[k]];
        const TakeoffRow& first = row(group.pieces.front());
        const bool both = first.both_sides.value_or(false);
        std::vector<std::string> ends;
        for (int line = 1; line <= group.number.value_or(0); line += both ? 2 : 1) {
            ends.push_back(both ? fmt::format("{} {}-{}", first.name, line, line + 1)
                                : fmt::format("{} {}", first.name, line));
            if (k != group.pieces.back()) ends.back() += fmt::format(" piece {}", piece_of(group, k));
        }
        return ends;
    }

    static std::size_t piece_of(const LineGroup& group, std::size_t k) {
        return static_cast<std::size_t>(std::find(group.pieces.begin(), group.pieces.end(), k) -
                                        group.pieces.begin()) +
               1;
    }

    std::string last_line_of(std::size_t k) const {
        const LineGroup& group = hanging_.groups[*hanging_.group[k]];
        std::string name = fmt::format("{} {}", row(group.pieces.front()).name, group.number.value_or(1));
        if (k != group.pieces.back()) name += fmt::format(" piece {}", piece_of(group, k));
        return name;
    }

    /// Rise over length towards the far end, as far as the takeoff says.
    std::optional<double> slope_of(std::size_t k) const {
        const auto pipe = drawing().last[k];
        if (pipe && drawing().pipes[*pipe].heights) {
            const DrawnPipe& drawn = drawing().pipes[*pipe];
            return ((*drawn.heights)[1] - (*drawn.heights)[0]) / drawn.length;
        }
        return row(k).drawn()        ? said_slope(row(k))
               : given_slope(row(k)) ? given_slope(row(k))
                                     : said_slope(row(k));
    }

    std::vector<std::size_t> behind(std::size_t k) const {
        std::vector<std::size_t> rows;
        for (const std::size_t other : hanging_.order) {
            if (hanging_.parent[other] == k) rows.push_back(other);
        }
        return rows;
    }

    /// Name of a row's pipe that begins where the row does.
    std::string first_pipe_of(std::size_t k) const {
        for (const DrawnPipe& pipe : drawing().pipes) {
            if (pipe.row == k) return pipe.name;
        }
        return row(k).name;
    }

    /// Water lies where the row is lowest: at its far end where it falls, else where it begins.
    void low_point(std::size_t k) {
        const TakeoffRow& r = row(k);
        const bool at_far_end = slope_of(k).value_or(0.0) < 0.0;
        const auto next = behind(k);
        if (at_far_end && (next.size() != 1 || hanging_.group[next.front()])) {
            faults_.add(
                r.index, Column::low_point,
                fmt::format("`{}` falls to its far end, where {}", r.name,
                            next.empty() ? "nothing is joined for water to part" : "several pipes meet"),
                "yes for a drain without water; or [[riser.low_point]] in the scenario");
            return;
        }
        if (!at_far_end && !hanging_.parent[k]) {
            faults_.add(r.index, Column::low_point, "the pipe at the valve drains at the valve",
                        "no water there");
            return;
        }
        const std::size_t behind_row = at_far_end ? next.front() : k,
                          before_row = at_far_end ? k : *hanging_.parent[k];
        const auto before = slope_of(before_row), after = slope_of(behind_row);
        constexpr double steepest = 0.25;
        const bool legs =
            before && after && *before < 0.0 && *before >= -steepest && *after > 0.0 && *after <= steepest;
        if (!r.rise && !legs) {
            faults_.add(
                r.index, Column::rise, "nothing says how far the water can be pushed up",
                fmt::format(
                    "a length; or pitches of `{}` (down to the water) and `{}` (up from it), each up to 25 %",
                    row(before_row).name, row(behind_row).name));
            return;
        }
        out_.entry("low_point", r);
        out_.text("name", r.name + " low point", r, std::nullopt);
        out_.text("on", first_pipe_of(behind_row), r, std::nullopt);
        out_.text("water", r.water->text, r, Column::low_point);
        if (r.rise) return out_.text("rise", r.rise->text, r, Column::rise);
        out_.key("slopes", fmt::format("[\"{:.9g} %\", \"{:.9g} %\"]", -100.0 * *before, 100.0 * *after), r,
                 std::nullopt);
    }

    const std::vector<const TakeoffRow*>& rows_;
    const Hanging& hanging_;
    RowFaults& faults_;
    SystemPiping& system_;
    ListWriter out_;
    int contradicted_ = 0;
};

}  // namespace

void write_piping(const Sheet& sheet, const std::vector<const TakeoffRow*>& rows, const Hanging& hanging,
                  RowFaults& faults, SystemPiping& system) {
    SystemWriter(sheet, rows, hanging, faults, system).write();
}

}  // namespace oxfade::scenario::detail
