#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace oxfade::text {

/// One record of a table in text form.
struct CsvRow {
    std::vector<std::string> fields;  ///< without blanks at their ends
    int line = 1;                     ///< where it begins, from 1
};

struct CsvRows {
    std::vector<CsvRow> rows;       ///< without blank lines
    std::optional<int> open_quote;  ///< line of the record whose quote is never closed; rows end before it
};

/// Splits a table (RFC 4180: fields may be quoted, and then hold separators, line ends and doubled quotes).
/// A quote within a field that does not begin with one is a letter like any other: `4"`. Line ends are LF,
/// CRLF or CR; a byte-order mark is skipped.
CsvRows split_csv(std::string_view text, char separator);

}  // namespace oxfade::text
