#pragma once

#include <functional>
#include <map>
#include <string>
#include <string_view>
#include <vector>

/// Holding laws against published numbers: rows are read from a source's data.csv, evaluated, compared and
/// recorded.
namespace oxfade::validation {

/// One row of a data.csv, by column name.
class Row {
  public:
    explicit Row(std::map<std::string, std::string> cells) : cells_(std::move(cells)) {}
    const std::string& text(const std::string& column) const;  ///< throws std::out_of_range naming the column
    double number(const std::string& column) const;            ///< throws std::invalid_argument if it is none
    bool has(const std::string& column) const;  ///< the column exists and the cell is not empty

  private:
    std::map<std::string, std::string> cells_;
};

/// Rows of a CSV file with a header line; cells may be quoted, lines starting with `#` are skipped.
std::vector<Row> read_rows(const std::string& path);

/// What is computed for a row, in the row's own unit.
using Law = std::function<double(const Row&)>;

/// Checks every row of `validation/<source>/data.csv` whose column `law` is one of the given names, and
/// records each. Columns `id, quantity, law, unit, published, tolerance, tolerance_kind, known` are needed;
/// tolerance_kind is `abs` (in the row's unit) or `rel` (a fraction of the published value). `known` is
/// seen, memory, practice or computed. A row whose law is not given fails, unless it names a law of
/// `elsewhere`.
void check_rows(const std::string& source, const std::map<std::string, Law>& laws,
                const std::vector<std::string>& elsewhere = {});

/// Root of a function between two points of opposite sign, by bisection: for published numbers that are an
/// input of our law.
double root(const std::function<double(double)>& function, double low, double high);

}  // namespace oxfade::validation
