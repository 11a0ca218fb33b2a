#include "study/csv_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "oxfade/error.hpp"
#include "text/nearest.hpp"

namespace oxfade::study::detail {

CsvTable::CsvTable(std::string_view text, std::string file, const std::vector<std::string>& known,
                   const std::vector<std::string>& required)
    : file_(std::move(file)) {
    auto [rows, open_quote] = text::split_csv(text, ',');
    if (open_quote) fail(*open_quote, "", "a quote is left open", "close it");
    std::erase_if(rows, [](const text::CsvRow& row) { return row.fields.front().starts_with('#'); });
    if (rows.empty())
        fail(0, "", "there is nothing in it", fmt::format("a header: {}", fmt::join(known, ",")));
    check_header(rows.front(), known, required);
    for (std::size_t k = 1; k < rows.size(); ++k) {
        if (rows[k].fields.size() != columns_.size()) {
            fail(rows[k].line, "", fmt::format("the line has {} fields", rows[k].fields.size()),
                 fmt::format("the header has {}", columns_.size()));
        }
        rows_.push_back(std::move(rows[k]));
    }
}

std::string CsvTable::at(std::size_t row, std::string_view column) const {
    const auto found = std::find(columns_.begin(), columns_.end(), column);
    if (found == columns_.end()) return {};
    return rows_[row].fields[static_cast<std::size_t>(found - columns_.begin())];
}

void CsvTable::check_header(const text::CsvRow& header, const std::vector<std::string>& known,
                            const std::vector<std::string>& required) {
    if (header.fields.size() == 1 && header.fields.front().find(';') != std::string::npos)
        fail(header.line, "", "the fields are parted by semicolons",
             "part them by commas, and write decimal points");
    for (const std::string& column : header.fields) {
        if (std::find(known.begin(), known.end(), column) == known.end())
            fail(header.line, column, "is no column known here", text::suggest(column, known, "there are"));
        if (std::find(columns_.begin(), columns_.end(), column) != columns_.end())
            fail(header.line, column, "the column is there twice", "once");
        columns_.push_back(column);
    }
    for (const std::string& column : required) {
        if (std::find(columns_.begin(), columns_.end(), column) == columns_.end())
            fail(header.line, column, "this column is missing",
                 fmt::format("{} are wanted", fmt::join(required, ", ")));
    }
}

void CsvTable::fail(int line, std::string key, std::string what, std::string allowed) const {
    throw InputError({Problem{std::move(key), "", std::move(what), std::move(allowed), file_, line}});
}

}  // namespace oxfade::study::detail
