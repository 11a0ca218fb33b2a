#pragma once

#include <array>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "scenario/takeoff/sheet.hpp"

namespace oxfade::scenario::detail {

/// Collects what is wrong in the rows of a takeoff.
class RowFaults {
  public:
    explicit RowFaults(const Sheet& sheet) : sheet_(sheet) {}

    /// At a cell.
    void add(std::size_t row, Column column, std::string what, std::string allowed);
    /// Of a row as a whole.
    void add(std::size_t row, std::string what, std::string allowed);
    void add(std::vector<Problem> problems);
    std::vector<Problem> take() { return std::move(problems_); }
    bool empty() const { return problems_.empty(); }

  private:
    const Sheet& sheet_;
    std::vector<Problem> problems_;
};

/// A row of a takeoff: a pipe, equal pipes, or the branch lines along a main.
struct TakeoffRow {
    std::size_t index = 0;  ///< in the sheet
    int line = 0;
    std::string system, name, from;
    bool named = false;        ///< in the file; else called after its line
    bool at_valve = false;     ///< marked as the pipe that begins at the valve
    bool branch_line = false;  ///< marked as one
    bool other_kind = false;   ///< marked as something else
    std::string nominal, schedule, bore;
    std::optional<Measure> length, spacing, first, pitch, rise;
    std::optional<int> count;  ///< such pipes in the system
    std::optional<bool> both_sides;
    std::string position;
    std::array<std::optional<Measure>, 3> near, far;  ///< x, y, z
    bool vented = false;
    std::optional<Measure> vent;  ///< diameter of the orifice
    bool sampled = false;
    std::string sample;  ///< name of the sampling point, where it has one
    bool drained = false;
    std::optional<Measure> water;
    bool readable = true;

    /// Drawn: both ends have a place in plan.
    bool drawn() const { return near[0] && near[1] && far[0] && far[1]; }
    bool has_heights() const { return near[2] && far[2]; }
};

/// What a takeoff is read with.
struct TakeoffSettings {
    double tolerance = 0.05;  ///< ends closer than this meet [m]
    std::string vent;         ///< diameter of a vent that is only ticked, with its unit; empty: not known
};

/// Reads the rows cell by cell.
std::vector<TakeoffRow> read_rows(const Sheet& sheet, const TakeoffSettings& settings, RowFaults& faults);

}  // namespace oxfade::scenario::detail
