#include "scenario/takeoff/rows.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>

#include "oxfade/plant/limits.hpp"
#include "oxfade/plant/pipe_sizes.hpp"
#include "text/nearest.hpp"
#include "text/number.hpp"

namespace oxfade::scenario::detail {
namespace {

constexpr double farthest = 1e5;  // [m], of coordinates: beyond, a unit was mistaken

/// Reads one row.
class RowReader {
  public:
    RowReader(const Sheet& sheet, const TakeoffSettings& settings, RowFaults& faults,
              std::set<Column>& unitless, std::size_t index)
        : sheet_(sheet), settings_(settings), faults_(faults), unitless_(unitless) {
        row_.index = index;
        row_.line = sheet.line(index);
    }

    TakeoffRow read() {
        row_.system = sheet_.cell(row_.index, Column::system);
        row_.name = sheet_.cell(row_.index, Column::name);
        row_.from = sheet_.cell(row_.index, Column::from);
        row_.named = !row_.name.empty();
        if (!row_.named) row_.name = fmt::format("row {}", row_.line);
        read_kind();
        read_size_cells();
        read_lengths();
        read_count();
        read_sides();
        read_fall();
        read_places();
        require_length();
        read_fittings();
        return std::move(row_);
    }

  private:
    std::string cell(Column column) const { return sheet_.cell(row_.index, column); }
    std::string quantity_cell(Column column) const { return plain_cell(cell(column)); }

    void refuse(Column column, std::string what, std::string allowed) {
        row_.readable = false;
        faults_.add(row_.index, column, std::move(what), std::move(allowed));
    }

    void read_kind() {
        const std::string kind = lower_case(cell(Column::kind));
        if (kind.empty()) return;
        const auto is = [&](std::initializer_list<std::string_view> words) {
            return std::find(words.begin(), words.end(), kind) != words.end();
        };
        row_.at_valve =
            is({"valve", "riser", "riser pipe", "system riser", "riser/valve", "valve riser", "dry valve"});
        row_.branch_line = is({"branch line", "branch lines", "branch", "branches", "line", "lines",
                               "branchline", "branchlines"});
        const bool known =
            row_.at_valve || row_.branch_line ||
            is({"main", "mains", "feed main", "cross main", "bulk main", "drop", "drops", "sprig", "sprigs",
                "arm-over", "arm-overs", "armover", "armovers", "other", "pipe"});
        row_.other_kind = known && !row_.branch_line;
        if (!known) {
            refuse(Column::kind, "is not one of the words known here",
                   text::suggest(kind,
                                 {"riser", "valve", "feed main", "cross main", "main", "branch line",
                                  "arm-over", "drop", "sprig", "other"},
                                 "allowed"));
        }
    }

    /// The cell with its number as a scenario has it; none where the cell is empty or cannot be read.
    std::optional<std::string> number_cell(Column column) {
        const std::string text = quantity_cell(column);
        if (text.empty()) return std::nullopt;
        auto number = plain_number(text, sheet_.style());
        if (const auto* error = std::get_if<QuantityError>(&number)) {
            refuse(column, error->what, error->allowed);
            return std::nullopt;
        }
        return std::get<std::string>(std::move(number));
    }

    std::optional<Measure> measure(Column column) {
        const auto text = number_cell(column);
        if (!text) return std::nullopt;
        auto read = read_measure(*text, sheet_.unit(column), *dimension_of(column));
        if (auto* found = std::get_if<Measure>(&read)) return std::move(*found);
        const auto& error = std::get<QuantityError>(read);
        const bool no_unit = error.what.ends_with("has no unit");
        row_.readable = false;
        if (!no_unit || unitless_.insert(column).second)  // told once for all the column
            faults_.add(row_.index, column, error.what, error.allowed);
        return std::nullopt;
    }

    std::optional<Measure> positive(Column column) {
        auto found = measure(column);
        if (!found || found->value > 0.0) return found;
        refuse(column, "must be above 0", "a length such as 12 ft");
        return std::nullopt;
    }

    void read_size_cells() {
        const auto size = number_cell(Column::size);
        row_.schedule = read_schedule(cell(Column::schedule));
        if (auto bore = positive(Column::bore)) row_.bore = std::move(bore->text);
        if (!row_.bore.empty()) return;  // what counts where both are given
        if (!cell(Column::bore).empty()) return;
        if (cell(Column::size).empty()) return refuse(Column::size, "the size is missing", size_wanted);
        if (!size) return;
        auto read = read_size(*size, sheet_.unit(Column::size));
        if (const auto* error = std::get_if<QuantityError>(&read))
            return refuse(Column::size, error->what, error->allowed);
        row_.nominal = std::get<std::string>(std::move(read));
        if (plant::find_pipe_size(row_.nominal, row_.schedule)) return;
        refuse(Column::schedule,
               row_.schedule.empty() ? fmt::format("the wall of nominal {} is missing", row_.nominal)
                                     : fmt::format("there is no such schedule of nominal {}", row_.nominal),
               fmt::format("allowed: {}; or give the inside diameter in a column of that name",
                           fmt::join(plant::schedules_of(row_.nominal), ", ")));
    }

    void read_lengths() {
        row_.length = positive(Column::length);
        row_.spacing = positive(Column::spacing);
        row_.first = positive(Column::first);
        row_.rise = positive(Column::rise);
    }

    void read_count() {
        const auto text = number_cell(Column::count);
        if (!text) return;
        const auto number = text::leading_number(*text);
        constexpr double most = plant::limits::compartments;
        const bool whole = number.state == text::NumberState::good && number.rest.empty() &&
                           number.value == std::floor(number.value);
        if (!whole || !(number.value >= 1.0 && number.value <= most))
            return refuse(
                Column::count, "is not a number of pipes",
                fmt::format("a whole number from 1 to {}, or nothing", plant::limits::compartments));
        row_.count = static_cast<int>(number.value);
    }

    void read_sides() {
        const std::string sides = lower_case(cell(Column::sides));
        if (sides.empty()) return;
        for (const std::string_view word : {"one", "1", "one side", "left", "right", "single"}) {
            if (sides == word) row_.both_sides = false;
        }
        for (const std::string_view word :
             {"both", "2", "two", "both sides", "two sides", "left and right"}) {
            if (sides == word) row_.both_sides = true;
        }
        if (!row_.both_sides)
            refuse(Column::sides, "is not one of the words known here", "allowed: one, both");
    }

    void read_fall() {
        row_.pitch = measure(Column::pitch);
        row_.position = lower_case(cell(Column::position));
        if (row_.position == "horizontal") row_.position = "level";
        if (row_.position == "up") row_.position = "vertical";
        if (row_.position == "down") row_.position = "drop";
        const bool known = row_.position.empty() || row_.position == "level" || row_.position == "vertical" ||
                           row_.position == "drop";
        if (!known)
            refuse(Column::position, "is not one of the words known here", "allowed: level, vertical, drop");
        if (row_.pitch && !row_.position.empty())
            refuse(Column::pitch, "the row has a position and a pitch", "keep one of the two");
    }

    void read_places() {
        constexpr std::array nears{Column::x1, Column::y1, Column::z1},
            fars{Column::x2, Column::y2, Column::z2};
        std::vector<Column> given, open;
        for (std::size_t axis = 0; axis < 3; ++axis) {
            for (const bool far : {false, true}) {
                const Column column = (far ? fars : nears)[axis];
                auto& place = (far ? row_.far : row_.near)[axis];
                place = measure(column);
                if (!sheet_.has(column)) continue;
                (cell(column).empty() ? open : given).push_back(column);
                if (place && !(std::abs(place->value) <= farthest))
                    refuse(column, "is farther away than any building reaches", "look at its unit");
            }
        }
        for (const Column column : open) {
            const bool height = column == Column::z1 || column == Column::z2;
            const Column other = column == Column::z1 ? Column::z2 : Column::z1;
            const bool half = height ? !cell(other).empty() : has_plan(given);
            if (half || (height && has_plan(given)))
                refuse(column, "is missing",
                       "both ends of a pipe have all their coordinates, or none of them");
        }
    }

    /// A pipe that is not drawn needs a length.
    void require_length() {
        if (!cell(Column::length).empty() || !row_.readable || row_.drawn()) return;
        refuse(Column::length, "the length is missing",
               "a length such as 12 ft; or x1, y1, z1, x2, y2, z2 of both ends");
    }

    static bool has_plan(const std::vector<Column>& given) {
        return std::any_of(given.begin(), given.end(),
                           [](Column column) { return column != Column::z1 && column != Column::z2; });
    }

    void read_fittings() {
        const std::string vent = quantity_cell(Column::vent);
        const bool measured =
            !sheet_.unit(Column::vent).empty() && !vent.empty() && vent.front() >= '0' && vent.front() <= '9';
        const auto mark = measured && vent != "0" ? std::nullopt : read_mark(vent);
        row_.vented = mark.value_or(true);
        if (!mark) row_.vent = positive(Column::vent);
        if (mark == true) take_usual_vent();
        const auto sample = read_mark(cell(Column::sample));
        row_.sampled = sample.value_or(true);
        if (!sample) row_.sample = cell(Column::sample);
        const std::string water = quantity_cell(Column::low_point);
        const bool amount = !sheet_.unit(Column::low_point).empty() && !water.empty() &&
                            water.front() >= '0' && water.front() <= '9';
        const auto drain = amount && water != "0" ? std::nullopt : read_mark(water);
        row_.drained = drain.value_or(true);
        if (!drain) row_.water = positive_water();
    }

    std::optional<Measure> positive_water() {
        auto water = measure(Column::low_point);
        if (!water || water->value > 0.0) return water;
        refuse(Column::low_point, "must be above 0",
               "a volume such as 0.5 gal, or yes for a drain without water");
        return std::nullopt;
    }

    void take_usual_vent() {
        if (settings_.vent.empty())
            return refuse(Column::vent, "the diameter of the vent's orifice is missing",
                          "the diameter with its unit in the cell, such as 0.03 in");
        row_.vent = Measure{0.0, settings_.vent};
    }

    static constexpr const char* size_wanted =
        "a nominal size such as 1 1/4 in or DN32, or the inside diameter in a column of that name";

    const Sheet& sheet_;
    const TakeoffSettings& settings_;
    RowFaults& faults_;
    std::set<Column>& unitless_;
    TakeoffRow row_;
};

}  // namespace

void RowFaults::add(std::size_t row, Column column, std::string what, std::string allowed) {
    problems_.push_back({sheet_.heading(column), sheet_.cell(row, column), std::move(what),
                         std::move(allowed), sheet_.file(), sheet_.line(row)});
}

void RowFaults::add(std::size_t row, std::string what, std::string allowed) {
    problems_.push_back({"", "", std::move(what), std::move(allowed), sheet_.file(), sheet_.line(row)});
}

void RowFaults::add(std::vector<Problem> problems) {
    problems_.insert(problems_.end(), std::make_move_iterator(problems.begin()),
                     std::make_move_iterator(problems.end()));
}

std::vector<TakeoffRow> read_rows(const Sheet& sheet, const TakeoffSettings& settings, RowFaults& faults) {
    std::vector<TakeoffRow> rows;
    std::set<Column> unitless;
    for (std::size_t index = 0; index < sheet.rows(); ++index)
        rows.push_back(RowReader(sheet, settings, faults, unitless, index).read());
    return rows;
}

}  // namespace oxfade::scenario::detail
