#include "check.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>
#include <stdexcept>

namespace oxfade::validation {
namespace {

std::vector<std::string> split(const std::string& line) {
    std::vector<std::string> cells{""};
    bool quoted = false;
    for (const char c : line) {
        if (c == '"') {
            quoted = !quoted;
        } else if (c == ',' && !quoted) {
            cells.emplace_back();
        } else if (c != '\r') {
            cells.back() += c;
        }
    }
    return cells;
}

std::string quoted(const std::string& text) { return '"' + text + '"'; }

std::string with_digits(double value) {
    std::ostringstream out;
    out.precision(12);
    out << value;
    return out.str();
}

/// One record line a check; `make_table` reads them.
void record(std::ofstream& out, const std::string& source, const Row& row, double computed, double allowed,
            bool pass) {
    out << source << ',' << row.text("id") << ',' << quoted(row.text("quantity")) << ','
        << quoted(row.text("law")) << ',' << quoted(row.text("unit")) << ',' << quoted(row.text("published"))
        << ',' << with_digits(computed) << ',' << with_digits(allowed) << ',' << row.text("known") << ','
        << (pass ? "yes" : "no") << '\n';
}

}  // namespace

const std::string& Row::text(const std::string& column) const {
    const auto found = cells_.find(column);
    if (found == cells_.end()) throw std::out_of_range("no column " + column);
    return found->second;
}

double Row::number(const std::string& column) const {
    const std::string& cell = text(column);
    std::size_t used = 0;
    const double value = std::stod(cell, &used);
    if (used != cell.size()) throw std::invalid_argument(column + ": not a number: " + cell);
    return value;
}

bool Row::has(const std::string& column) const {
    const auto found = cells_.find(column);
    return found != cells_.end() && !found->second.empty();
}

std::vector<Row> read_rows(const std::string& path) {
    std::ifstream in(path);
    if (!in) throw std::runtime_error("cannot read " + path);
    std::vector<std::string> header;
    std::vector<Row> rows;
    for (std::string line; std::getline(in, line);) {
        if (line.empty() || line.front() == '#') continue;
        const std::vector<std::string> cells = split(line);
        if (header.empty()) {
            header = cells;
            continue;
        }
        if (cells.size() != header.size())
            throw std::runtime_error(path + ": wrong number of cells: " + line);
        std::map<std::string, std::string> named;
        for (std::size_t i = 0; i < cells.size(); ++i) named[header[i]] = cells[i];
        rows.emplace_back(std::move(named));
    }
    return rows;
}

void check_rows(const std::string& source, const std::map<std::string, Law>& laws,
                const std::vector<std::string>& elsewhere) {
    const std::filesystem::path records = OXFADE_VALIDATION_RECORDS;
    std::filesystem::create_directories(records);
    // One file per source and first law, so that tests may run at the same time.
    std::string name = source + '.' + laws.begin()->first + ".csv";
    std::replace_if(
        name.begin(), name.end(), [](char c) { return c == ' ' || c == ':' || c == '/'; }, '_');
    std::ofstream out(records / name);
    ASSERT_TRUE(out) << "cannot write " << (records / name);

    const std::vector<Row> rows = read_rows(std::string(OXFADE_VALIDATION_DATA) + '/' + source + "/data.csv");
    ASSERT_FALSE(rows.empty());
    static const std::set<std::string> ways{"seen", "memory", "practice", "computed"};
    std::set<std::string> ids;
    for (const Row& row : rows) {
        const std::string& id = row.text("id");
        SCOPED_TRACE(source + ", row " + id);
        EXPECT_TRUE(ids.insert(id).second) << "this id is there twice";
        EXPECT_TRUE(ways.contains(row.text("known"))) << row.text("known");
        const auto law = laws.find(row.text("law"));
        if (law == laws.end()) {
            const bool other =
                std::find(elsewhere.begin(), elsewhere.end(), row.text("law")) != elsewhere.end();
            EXPECT_TRUE(other) << "nobody computes the law " << row.text("law");
            continue;
        }
        const double published = row.number("published");
        const bool relative = row.text("tolerance_kind") == "rel";
        EXPECT_TRUE(relative || row.text("tolerance_kind") == "abs") << row.text("tolerance_kind");
        const double allowed = row.number("tolerance") * (relative ? std::abs(published) : 1.0);
        double computed = std::numeric_limits<double>::quiet_NaN();
        EXPECT_NO_THROW(computed = law->second(row));
        const bool pass = std::abs(computed - published) <= allowed;
        EXPECT_TRUE(pass) << row.text("quantity") << ": published " << row.text("published") << ' '
                          << row.text("unit") << ", computed " << with_digits(computed)
                          << ", allowed difference " << with_digits(allowed);
        record(out, source, row, computed, allowed, pass);
    }
}

double root(const std::function<double(double)>& function, double low, double high) {
    const double sign = function(low) < 0.0 ? -1.0 : 1.0;
    if (sign * function(high) > 0.0) throw std::invalid_argument("no change of sign in the given range");
    for (int i = 0; i < 200; ++i) {
        const double middle = 0.5 * (low + high);
        (sign * function(middle) > 0.0 ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

}  // namespace oxfade::validation
