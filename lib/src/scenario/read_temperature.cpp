#include <cmath>

#include "scenario/readers.hpp"
#include "scenario/weather.hpp"
#include "text/date.hpp"

namespace oxfade::scenario::detail {
namespace {

constexpr double day_length = 86400.0;

/// When it is warmest in a day: at three in the afternoon, by the clock where the run has a date.
double usual_warmest(const Table& table, const plant::DailySwing& swing) {
    const auto start = text::parse_date(table.reading().start);
    if (!start || swing.period != day_length) return swing.warmest;
    const double clock = std::fmod(*start, day_length);
    return clock <= swing.warmest ? swing.warmest - clock : swing.warmest - clock + day_length;
}

/// The middle of the warmest season [s]: a time, or a date of any year, which may be before the start.
double read_season_warmest(Table& table) {
    const auto start = text::parse_date(table.reading().start);
    const std::string key = "season_warmest";
    std::string date = table.has(key) ? table.date_or_empty(key) : "";
    if (!table.has(key) && start) {
        date = text::iso_date(*start).substr(0, 4) + "-07-20";
        table.assume(key, date, "north of the tropics; common practice, no source");
    }
    if (const auto when = text::parse_date(date); when && start) {
        return std::remainder(*when - *start, plant::year_of_seasons);
    }
    return table.required_moment(key);
}

plant::DailySwing read_swing(Table& table) {
    plant::DailySwing swing;
    const auto season = table.quantity("season", Dimension::temperature_difference);
    swing.mean = table.required_quantity("mean", Dimension::temperature);
    swing.swing = table.has("season")
                      ? table.quantity("swing", Dimension::temperature_difference).value_or(0.0)
                      : table.required_quantity("swing", Dimension::temperature_difference);
    swing.period = table.quantity("period", Dimension::time).value_or(swing.period);
    swing.warmest = table.quantity("warmest", Dimension::time).value_or(usual_warmest(table, swing));
    if (season) {
        swing.season = *season;
        swing.season_warmest = read_season_warmest(table);
    } else {
        table.refuse("season_warmest", "there is no `season`",
                     "give `season`, from the coldest to the warmest day");
    }
    return swing;
}

plant::TemperatureTable read_course(Table& table) {
    plant::TemperatureTable course;
    course.period = table.quantity("period", Dimension::time);
    const auto rows = table.pairs("table", {Dimension::time, Dimension::temperature});
    if (!rows) {
        table.reading().findings.shadow(table.path());
        return course;
    }
    for (const auto& [time, temperature] : *rows) course.knots.push_back({time, temperature});
    return course;
}

/// A table or a year of weather in a file of its own.
plant::TemperatureTable read_weather_file(Table& table) {
    const auto file = table.text("file");
    const auto period = table.quantity("period", Dimension::time);
    Findings& findings = table.reading().findings;
    if (!file) {
        findings.shadow(table.path());
        return {};
    }
    try {
        Weather weather = read_weather(table.reading().folder / *file, table.reading().start);
        if (!weather.problems.empty()) findings.shadow(table.path());
        for (Problem& problem : weather.problems) findings.add(std::move(problem));
        if (weather.from_new_year) {
            table.reading().assumed.push_back(
                {"start", "1 January, 00:00", "for the year in " + *file + "; `start` says another date"});
        }
        if (period && weather.table.period) {
            table.add_problem("period", "an EPW file has a period of its own", "leave this key out");
        } else if (period) {
            weather.table.period = period;
        }
        return std::move(weather.table);
    } catch (const FileError& error) {
        table.add_problem("file", error.what(), "a CSV or EPW file, its path from the scenario's folder");
        findings.shadow(table.path());
        return {};
    }
}

}  // namespace

plant::Temperature read_temperature(Table table) {
    const auto given = table.one_of(
        {{"mean", "swing", "warmest", "season", "season_warmest"}, {"table"}, {"file"}},
        "does not say how it runs",
        "give `mean` and `swing` (or `season`), a `table` of times and temperatures, or the `file` of one");
    plant::Temperature temperature;
    if (given == 0) temperature = read_swing(table);
    if (given == 1) temperature = read_course(table);
    if (given == 2) temperature = read_weather_file(table);
    if (!given) {
        table.quantity("period", Dimension::time);
        table.reading().findings.shadow(table.path());
    }
    table.finish();
    return temperature;
}

}  // namespace oxfade::scenario::detail
