#include "scenario/takeoff/sheet.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <utility>

#include "oxfade/plant/limits.hpp"
#include "text/number.hpp"

namespace oxfade::scenario::detail {
namespace {

constexpr std::size_t largest_takeoff = 4'000'000;  // bytes
constexpr std::size_t longest_cell = 200;           // letters
constexpr std::size_t longest_preface = 20;         // lines before the headings
constexpr std::size_t fewest_headings = 2;          // that tell a line of headings from a title

/// Whether a text is UTF-8, as names have to be in reports.
bool is_utf8(std::string_view text) {
    for (std::size_t k = 0; k < text.size();) {
        const auto first = static_cast<unsigned char>(text[k]);
        const std::size_t more = first < 0x80   ? 0
                                 : first < 0xc2 ? 9
                                 : first < 0xe0 ? 1
                                 : first < 0xf0 ? 2
                                 : first < 0xf5 ? 3
                                                : 9;
        if (more == 9 || k + more >= text.size()) return false;
        for (std::size_t i = 1; i <= more; ++i) {
            const auto next = static_cast<unsigned char>(text[k + i]);
            const bool shortest =
                i > 1 || ((first != 0xe0 || next >= 0xa0) && (first != 0xf0 || next >= 0x90));
            const bool in_range = i > 1 || ((first != 0xed || next < 0xa0) && (first != 0xf4 || next < 0x90));
            if ((next & 0xC0U) != 0x80U || !shortest || !in_range) return false;
        }
        k += more + 1;
    }
    return true;
}

std::size_t headings_in(const text::CsvRow& row) {
    std::set<Column> columns;
    for (const std::string& field : row.fields) {
        const auto heading = read_heading(field);
        if (heading && heading->column != Column::remark) columns.insert(heading->column);
    }
    return columns.size();
}

/// A table under one separator, and where its headings seem to be.
struct Attempt {
    char separator = ',';
    text::CsvRows csv;
    std::size_t header = 0, headings = 0;

    Attempt(std::string_view text, char by) : separator(by), csv(text::split_csv(text, by)) {
        for (std::size_t k = 0; k < std::min(csv.rows.size(), longest_preface); ++k) {
            if (csv.rows[k].fields.front().starts_with('#')) continue;
            const std::size_t found = headings_in(csv.rows[k]);
            if (found <= headings) continue;
            header = k;
            headings = found;
        }
    }
};

[[noreturn]] void fail(const std::string& file, int line, std::string what, std::string allowed) {
    throw InputError({Problem{"", "", std::move(what), std::move(allowed), file, line}});
}

void check_text(std::string_view text, const std::string& file) {
    if (text.size() > largest_takeoff)
        throw FileError(fmt::format("{} is too large for a takeoff (over {} bytes)", file, largest_takeoff));
    if (text.starts_with("\xFF\xFE") || text.starts_with("\xFE\xFF"))
        fail(file, 1, "the file is UTF-16", "save it as CSV in UTF-8");
    if (text.starts_with("PK\x03\x04"))
        fail(file, 0, "the file is a workbook, not a table in text form", "save the sheet as CSV in UTF-8");
    if (!is_utf8(text)) fail(file, 0, "the file is not UTF-8", "save it as CSV in UTF-8");
    if (text::trim(text).empty() || text == "\xEF\xBB\xBF")
        fail(file, 0, "the file is empty", "one line of headings, then a pipe on each line");
}

}  // namespace

Sheet::Sheet(std::string_view text, std::string file) : file_(std::move(file)) {
    check_text(text, file_);
    std::optional<Attempt> best;
    for (const char separator : {',', ';', '\t'}) {
        Attempt attempt(text, separator);
        if (!best || attempt.headings > best->headings) best = std::move(attempt);
    }
    if (best->csv.open_quote) fail(file_, *best->csv.open_quote, "a quote is left open", "close it");
    if (best->headings < fewest_headings) {
        fail(file_, best->csv.rows.empty() ? 0 : best->csv.rows.front().line, "no line of headings was found",
             fmt::format("columns parted by commas, semicolons or tabs; known are: {}", known_columns()));
    }
    take_rows(std::move(best->csv.rows), best->header);
    learn_numbers(best->separator);
}

void Sheet::take_rows(std::vector<text::CsvRow> rows, std::size_t header) {
    std::vector<Problem> problems;
    const text::CsvRow heads = rows[header];
    take_headings(heads, problems);
    // A separator after the last cell of each row; after that of some, a cell was taken for two.
    const bool trailing = std::all_of(
        rows.begin() + static_cast<std::ptrdiff_t>(header) + 1, rows.end(), [&](const text::CsvRow& row) {
            return row.fields.front().starts_with('#') ||
                   (row.fields.size() == heads.fields.size() + 1 && row.fields.back().empty());
        });
    for (std::size_t k = header + 1; k < rows.size(); ++k) {
        text::CsvRow& row = rows[k];
        // `#12` may be the mark of a pipe; `# lengths as drawn` is none.
        const std::string& first = row.fields.front();
        const bool mark = row.fields.size() == heads.fields.size() && first.size() > 1 && first[1] >= '0' &&
                          first[1] <= '9';
        if ((first.starts_with('#') && !mark) || is_total(row)) continue;
        if (trailing && row.fields.size() > heads.fields.size()) row.fields.pop_back();
        if (row.fields.size() > heads.fields.size()) {
            problems.push_back({"", "", fmt::format("the line has {} cells", row.fields.size()),
                                fmt::format("there are {} headings; quote a cell with a separator in it",
                                            heads.fields.size()),
                                file_, row.line});
            continue;
        }
        for (const std::string& field : row.fields) {
            if (field.size() <= longest_cell) continue;
            problems.push_back({"", plain_text(field.substr(0, 20)) + "...", "the cell is too long",
                                fmt::format("at most {} letters", longest_cell), file_, row.line});
            break;
        }
        rows_.push_back(std::move(row));
    }
    if (rows_.empty() && problems.empty())
        problems.push_back(
            {"", "", "there are no pipes in it", "one on each line below the headings", file_, heads.line});
    if (rows_.size() > std::size_t{plant::limits::compartments}) {
        problems.push_back({"", "", fmt::format("there are {} rows", rows_.size()),
                            fmt::format("at most {}", plant::limits::compartments), file_, heads.line});
    }
    if (problems.empty()) check_columns(heads, problems);
    if (!problems.empty()) {
        constexpr std::size_t most = 200;
        if (problems.size() > most) problems.resize(most);
        throw InputError(std::move(problems));
    }
}

void Sheet::take_headings(const text::CsvRow& header, std::vector<Problem>& problems) {
    for (std::size_t k = 0; k < header.fields.size(); ++k) {
        const std::string text = plain_text(header.fields[k]);
        if (text.empty()) continue;
        const auto heading = read_heading(plain_cell(text));
        if (!heading) {
            if (const auto near = nearly_heading(text)) {
                problems.push_back({text.substr(0, longest_cell), "", "is no heading known here",
                                    fmt::format("did you mean `{}`?", *near), file_, header.line});
            } else {
                unused_.push_back(text.substr(0, longest_cell));
            }
            continue;
        }
        if (heading->column == Column::remark) continue;
        const auto [place, fresh] =
            places_.emplace(heading->column, Place{k, text, heading->unit, heading->weak});
        if (fresh) continue;
        if (heading->weak != place->second.weak) {
            unused_.push_back(heading->weak ? text.substr(0, longest_cell) : place->second.heading);
            if (place->second.weak) place->second = Place{k, text, heading->unit, false};
            continue;
        }
        problems.push_back({text.substr(0, longest_cell), "",
                            fmt::format("says the same as the column `{}`", place->second.heading),
                            "keep one of the two, or rename one", file_, header.line});
    }
}

/// What every takeoff needs.
void Sheet::check_columns(const text::CsvRow& header, std::vector<Problem>& problems) const {
    const auto missing = [&](std::string what, std::string allowed) {
        problems.push_back({"", "", std::move(what), std::move(allowed), file_, header.line});
    };
    const bool sized = has(Column::size) || has(Column::bore);
    if (!sized) missing("no column gives the size of pipes", "a column `size` or `inside diameter`");
    const bool drawn = has(Column::x1) && has(Column::y1) && has(Column::x2) && has(Column::y2);
    if (!has(Column::length) && !drawn)
        missing("no column gives the length of pipes",
                "a column `length`, or x1, y1, z1, x2, y2, z2 of both ends");
    if (!has(Column::from) && !drawn && rows_.size() > 1)
        missing(
            "no column says what pipes hang on",
            "a column `from` with the name of the pipe each leaves, or x1, y1, z1, x2, y2, z2 of both ends");
}

bool Sheet::is_total(const text::CsvRow& row) const {
    const auto first = std::find_if(row.fields.begin(), row.fields.end(),
                                    [](const std::string& field) { return !field.empty(); });
    if (first == row.fields.end()) return true;
    const std::string word = lower_case(*first);
    for (const std::string_view begin : {"total", "grand total", "subtotal", "sub-total", "sum"}) {
        if (!word.starts_with(begin) ||
            (word.size() > begin.size() && word[begin.size()] != ' ' && word[begin.size()] != ':'))
            continue;
        const auto empty = [&](Column column) {
            const auto place = places_.find(column);
            return place == places_.end() || place->second.index >= row.fields.size() ||
                   row.fields[place->second.index].empty();
        };
        return empty(Column::size) && empty(Column::bore);
    }
    return false;
}

void Sheet::learn_numbers(char separator) {
    for (const auto& [column, place] : places_) {
        const bool number = dimension_of(column) || column == Column::size || column == Column::count;
        for (std::size_t row = 0; number && row < rows_.size(); ++row)
            style_.learn(plain_cell(cell(row, column)));
    }
    // Semicolons stand between cells where commas stand in numbers.
    if (separator == ';' && !style_.point) style_.comma = true;
}

std::string Sheet::unit(Column column) const {
    const auto place = places_.find(column);
    return place == places_.end() ? std::string() : place->second.unit;
}

std::string Sheet::heading(Column column) const {
    const auto place = places_.find(column);
    return place == places_.end() ? std::string(name_of(column)) : place->second.heading;
}

std::string Sheet::cell(std::size_t row, Column column) const {
    const auto place = places_.find(column);
    if (place == places_.end() || place->second.index >= rows_[row].fields.size()) return {};
    return plain_text(rows_[row].fields[place->second.index]);
}

}  // namespace oxfade::scenario::detail
