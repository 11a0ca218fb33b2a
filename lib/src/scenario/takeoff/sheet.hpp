#pragma once

#include <array>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "oxfade/error.hpp"
#include "scenario/takeoff/cells.hpp"
#include "scenario/takeoff/columns.hpp"
#include "text/csv.hpp"

namespace oxfade::scenario::detail {

/// A takeoff as a table: which column is where, and its rows.
class Sheet {
  public:
    /// Finds the separator (comma, semicolon or tab), the line of headings, which a title may precede, and
    /// the way numbers are written. Blank lines, comments (#) and totals are left out. Throws InputError with
    /// what makes it no table of pipes; FileError when it is too large.
    Sheet(std::string_view text, std::string file);

    const std::string& file() const { return file_; }
    std::size_t rows() const { return rows_.size(); }
    int line(std::size_t row) const { return rows_[row].line; }
    bool has(Column column) const { return places_.count(column) != 0; }
    /// Unit of the column's heading; empty where there is none.
    std::string unit(Column column) const;
    /// The column's heading as it stands in the file, or its usual name where there is none.
    std::string heading(Column column) const;
    /// The cell as it stands, on one line; empty where there is no such column.
    std::string cell(std::size_t row, Column column) const;
    NumberStyle style() const { return style_; }
    /// Headings of columns that are not used.
    const std::vector<std::string>& unused() const { return unused_; }

  private:
    struct Place {
        std::size_t index = 0;
        std::string heading, unit;
        bool weak = false;
    };
    void take_rows(std::vector<text::CsvRow> rows, std::size_t header);
    void take_headings(const text::CsvRow& header, std::vector<Problem>& problems);
    void check_columns(const text::CsvRow& header, std::vector<Problem>& problems) const;
    void learn_numbers(char separator);
    bool is_total(const text::CsvRow& row) const;

    std::string file_;
    std::map<Column, Place> places_;
    std::vector<text::CsvRow> rows_;
    std::vector<std::string> unused_;
    NumberStyle style_;
};

}  // namespace oxfade::scenario::detail
