#include "scenario/weather.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <system_error>
#include <utility>

#include "oxfade/scenario/quantity.hpp"
#include "scenario/file_text.hpp"
#include "text/csv.hpp"
#include "text/date.hpp"
#include "text/letters.hpp"
#include "text/number.hpp"

namespace oxfade::scenario::detail {
namespace {

constexpr std::size_t largest_weather = 16'000'000;  // bytes
constexpr std::size_t most_rows = 100'000;
constexpr std::size_t most_told = 20;
constexpr double zero_celsius = 273.15, hour = 3600.0;

std::string weather_text(const std::filesystem::path& file) {
    std::error_code error;
    if (std::filesystem::is_directory(file, error))
        throw FileError(fmt::format("'{}' is a directory, a weather file is wanted", file.string()));
    std::string text = file_text(file, largest_weather);
    if (text.size() > largest_weather)
        throw FileError(fmt::format("'{}' is too large for a weather file (over {} bytes)", file.string(),
                                    largest_weather));
    return text;
}

/// Collects the rows of one file.
class WeatherReader {
  public:
    WeatherReader(std::string file, std::string_view start)
        : file_(std::move(file)), start_(start), begin_(text::parse_date(start)) {}

    Weather read(std::string_view text) {
        const bool epw = text.starts_with("LOCATION,");
        const auto first_line = text.substr(0, text.find('\n'));
        const char separator = first_line.find(';') != first_line.npos ? ';' : ',';
        const text::CsvRows table = text::split_csv(text, separator);
        if (table.open_quote) {
            add(*table.open_quote, "", "", "a quote is never closed", "close it");
        } else if (table.rows.size() > most_rows) {
            add(0, "", "", fmt::format("there are {} rows", table.rows.size()),
                fmt::format("at most {}", most_rows));
        } else if (epw) {
            read_epw(table.rows);
        } else {
            read_table(table.rows);
        }
        if (!weather_.problems.empty()) weather_.table = {};
        return std::move(weather_);
    }

  private:
    using Knot = plant::TemperatureTable::Knot;

    void add(int line, std::string column, std::string value, std::string what, std::string allowed) {
        if (weather_.problems.size() >= most_told) return;
        weather_.problems.push_back(
            {std::move(column), std::move(value), std::move(what), std::move(allowed), file_, line});
    }

    static std::string cell_of(const text::CsvRow& row, std::size_t column) {
        return column < row.fields.size() ? row.fields[column] : "";
    }

    // --- EPW: eight lines of headings, then a row an hour ---

    /// A whole number in a column of an EPW row.
    std::optional<int> whole(const text::CsvRow& row, std::size_t column, const char* name, int low,
                             int high) {
        const std::string cell = cell_of(row, column);
        const auto number = text::leading_number(cell);
        const bool good = number.state == text::NumberState::good && number.rest.empty() &&
                          number.value == std::floor(number.value);
        if (good && number.value >= low && number.value <= high) return static_cast<int>(number.value);
        add(row.line, name, cell, cell.empty() ? "is missing" : "is out of range",
            fmt::format("a whole number from {} to {}", low, high));
        return std::nullopt;
    }

    std::optional<double> dry_bulb(const text::CsvRow& row) {
        constexpr std::size_t column = 6;
        constexpr const char* name = "dry bulb temperature (column 7)";
        const std::string allowed = "from -70 to 70 degC";
        const std::string cell = cell_of(row, column);
        const auto number = text::leading_number(cell);
        if (number.state != text::NumberState::good || !number.rest.empty()) {
            add(row.line, name, cell, cell.empty() ? "is missing" : "is not a number", allowed);
        } else if (number.value == 99.9) {
            add(row.line, name, cell, "is the format's mark for a missing value", allowed);
        } else if (!(number.value >= -70.0 && number.value <= 70.0)) {
            add(row.line, name, cell, "is out of range", allowed);
        } else {
            return number.value + zero_celsius;
        }
        return std::nullopt;
    }

    void read_epw(const std::vector<text::CsvRow>& rows) {
        constexpr std::size_t headings = 8;
        const std::size_t hours = rows.size() > headings ? rows.size() - headings : 0;
        if (hours != 8760 && hours != 8784) {
            add(0, "", "", fmt::format("there are {} hourly rows in this EPW file", hours),
                "8760, or 8784 in a leap year");
            return;
        }
        const bool leap = hours == 8784;
        const double year = static_cast<double>(hours) * hour;
        const double offset = begin_ ? since_new_year(*begin_, leap) : 0.0;
        weather_.from_new_year = !begin_;
        std::vector<Knot>& knots = weather_.table.knots;
        for (std::size_t k = 0; k < hours; ++k) {
            const text::CsvRow& row = rows[headings + k];
            const auto month = whole(row, 1, "month (column 2)", 1, 12);
            const auto day = whole(row, 2, "day (column 3)", 1, 31);
            const auto of_day = whole(row, 3, "hour (column 4)", 1, 24);
            const auto temperature = dry_bulb(row);
            if (!month || !day || !of_day || !temperature) continue;
            // The hour 1 ends at 1 o'clock, and what is read is of its end.
            const double time = (day_of_year(*month, *day, leap) * 24.0 + *of_day) * hour;
            if (time != static_cast<double>(k + 1) * hour) {
                add(row.line, "month, day, hour (columns 2 to 4)",
                    fmt::format("{}, {}, {}", *month, *day, *of_day), "is not the hour after the row before",
                    "a row for each hour of the year");
                return;
            }
            const double into = std::fmod(time - offset + year, year);
            knots.push_back({into, *temperature});
        }
        std::sort(knots.begin(), knots.end(), [](const Knot& a, const Knot& b) { return a.time < b.time; });
        weather_.table.period = year;
    }

    static double day_of_year(int month, int day, bool leap) {
        constexpr std::array<int, 12> before{0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334};
        return before.at(static_cast<std::size_t>(month - 1)) + (leap && month > 2 ? 1 : 0) + day - 1;
    }

    /// Time since 1 January [s] of a date; 29 February is the last of February where the year has none.
    static double since_new_year(double date, bool leap) {
        const std::string text = text::iso_date(date);
        const int month = std::stoi(text.substr(5, 2));
        const int day = std::stoi(text.substr(8, 2));
        const double days = day_of_year(month, !leap && month == 2 && day == 29 ? 28 : day, leap);
        return days * 86400.0 + std::fmod(date, 86400.0);
    }

    // --- CSV: times and temperatures ---

    /// A heading without its unit, in small letters, and the unit: `Temperature [degF]`.
    static std::pair<std::string, std::string> heading_of(const std::string& field) {
        const auto open = field.find_first_of("[(");
        std::string name = text::lower_case(text::trim(std::string_view(field).substr(0, open)));
        if (open == field.npos) return {name, ""};
        const auto close = field.find_first_of("])", open);
        return {name, field.substr(open + 1, close == field.npos ? close : close - open - 1)};
    }

    void read_table(const std::vector<text::CsvRow>& rows) {
        std::vector<const text::CsvRow*> lines;
        for (const text::CsvRow& row : rows) {
            if (!row.fields.front().starts_with("#")) lines.push_back(&row);
        }
        if (lines.size() < 2) {
            add(0, "", "", "there are no temperatures in it",
                "a heading with the columns time and temperature, and a row for each time");
            return;
        }
        std::optional<std::size_t> time_column, temperature_column;
        const text::CsvRow& head = *lines.front();
        for (std::size_t c = 0; c < head.fields.size(); ++c) {
            auto [name, unit] = heading_of(head.fields[c]);
            if (name == "time" || name == "date") {
                time_column = c;
                time_unit_ = std::move(unit);
            } else if (name == "temperature") {
                temperature_column = c;
                temperature_unit_ = std::move(unit);
            }
        }
        if (!time_column || !temperature_column) {
            add(head.line, !time_column ? "time" : "temperature", "", "there is no such column",
                fmt::format("the columns time and temperature; the headings are {}",
                            fmt::join(head.fields, ", ")));
            return;
        }
        double before = -HUGE_VAL;
        for (auto line = lines.begin() + 1; line != lines.end(); ++line) {
            const auto time = time_of(**line, *time_column);
            const auto temperature = temperature_of(**line, *temperature_column);
            if (!time || !temperature) continue;
            if (!(*time > before)) {
                add((*line)->line, "time", (*line)->fields[*time_column],
                    "is not later than the row before it", "times have to rise");
            }
            before = *time;
            weather_.table.knots.push_back({*time, *temperature});
        }
        if (weather_.problems.empty()) cut_at_start();
    }

    std::optional<double> time_of(const text::CsvRow& row, std::size_t column) {
        const std::string cell = cell_of(row, column);
        if (begin_ && text::looks_like_date(cell)) {
            if (const auto date = text::parse_date(cell)) return *date - *begin_;
        }
        return taken(row, "time", cell, parse_moment(with_unit(cell, time_unit_), start_));
    }

    std::optional<double> temperature_of(const text::CsvRow& row, std::size_t column) {
        const std::string cell = cell_of(row, column);
        const auto value =
            taken(row, "temperature", cell,
                  parse_quantity(with_unit(cell, temperature_unit_), Dimension::temperature, 0.0));
        if (!value || (*value >= 200.0 && *value <= 400.0)) return value;
        add(row.line, "temperature", cell, "is out of range", "from 200 K to 400 K");
        return std::nullopt;
    }

    static std::string with_unit(const std::string& cell, const std::string& unit) {
        const auto number = text::leading_number(cell);
        const bool bare = number.state == text::NumberState::good && number.rest.empty();
        return bare && !unit.empty() ? cell + " " + unit : cell;
    }

    std::optional<double> taken(const text::CsvRow& row, const char* column, const std::string& cell,
                                const std::variant<Quantity, QuantityError>& parsed) {
        if (const auto* found = std::get_if<Quantity>(&parsed)) return found->value;
        const auto& error = std::get<QuantityError>(parsed);
        add(row.line, column, cell, cell.empty() ? "is missing" : error.what, error.allowed);
        return std::nullopt;
    }

    /// Rows before the start of the run give way to the temperature at its start.
    void cut_at_start() {
        auto& knots = weather_.table.knots;
        if (knots.back().time < 0.0) {
            add(0, "time", "", "all times are before the start of the run", "times of the run");
            return;
        }
        if (knots.front().time >= 0.0) return;
        const double at_start = plant::Temperature(weather_.table).at(0.0);
        std::erase_if(knots, [](const Knot& knot) { return knot.time <= 0.0; });
        knots.insert(knots.begin(), {0.0, at_start});
    }

    std::string file_;
    std::string_view start_;
    std::optional<double> begin_;
    std::string time_unit_, temperature_unit_;
    Weather weather_;
};

}  // namespace

Weather read_weather(const std::filesystem::path& file, std::string_view start) {
    return WeatherReader(file.string(), start).read(weather_text(file));
}

}  // namespace oxfade::scenario::detail
