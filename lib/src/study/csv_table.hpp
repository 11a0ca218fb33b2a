#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "text/csv.hpp"

namespace oxfade::study::detail {

/// A CSV text with a header (RFC 4180: fields may be quoted), blank lines and lines that begin with # left
/// out.
class CsvTable {
  public:
    /// Throws InputError, with file and line, for a quote left open, a line with a wrong number of fields, a
    /// column that is not among `known`, one that is there twice, or one of `required` that is missing.
    CsvTable(std::string_view text, std::string file, const std::vector<std::string>& known,
             const std::vector<std::string>& required);

    std::size_t rows() const { return rows_.size(); }
    int line(std::size_t row) const { return rows_[row].line; }
    const std::string& file() const { return file_; }
    /// The field without blanks at its ends; empty where there is no such column.
    std::string at(std::size_t row, std::string_view column) const;

  private:
    [[noreturn]] void fail(int line, std::string key, std::string what, std::string allowed) const;
    void check_header(const text::CsvRow& header, const std::vector<std::string>& known,
                      const std::vector<std::string>& required);

    std::string file_;
    std::vector<std::string> columns_;
    std::vector<text::CsvRow> rows_;
};

}  // namespace oxfade::study::detail
