#include <fmt/format.h>

#include "plant/checks.hpp"
#include "text/key_path.hpp"

namespace oxfade::plant::detail {
namespace {

constexpr double lowest = 200.0, highest = 400.0;  // [K]

struct CourseChecks {
    Checks& checks;
    std::string key;

    std::string at(std::string_view segment) const { return text::join_path(key, segment); }

    void operator()(double constant) const { checks.within(key, constant, lowest, highest, "K"); }

    void operator()(const DailySwing& swing) const {
        const bool mean = checks.within(at("mean"), swing.mean, lowest, highest, "K");
        const bool range = checks.not_negative(at("swing"), swing.swing, temperature_difference);
        checks.positive(at("period"), swing.period, time);
        checks.not_negative(at("warmest"), swing.warmest, time);
        const bool season = checks.not_negative(at("season"), swing.season, temperature_difference);
        checks.within(at("season_warmest"), swing.season_warmest, -1e12, 1e12, "s");
        if (!mean || !range || !season) return;
        const double half = 0.5 * (swing.swing + swing.season);
        const double cold = swing.mean - half, warm = swing.mean + half;
        checks.require(cold >= lowest && warm <= highest, at("swing"), swing.swing, temperature_difference,
                       fmt::format("reaches from {:.6g} K to {:.6g} K", cold, warm),
                       "from 200 K to 400 K; the swing is from coldest to warmest");
    }

    void operator()(const TemperatureTable& table) const {
        const std::string path = at("table");
        if (table.knots.empty()) {
            checks.add(path, "", "has no entries", "at least one pair of time and temperature is wanted");
            return;
        }
        for (std::size_t i = 0; i < table.knots.size(); ++i) check_knot(table, i, path);
        if (table.period && checks.positive(at("period"), *table.period, time)) check_period(table);
    }

    void check_knot(const TemperatureTable& table, std::size_t i, const std::string& path) const {
        const auto entry = text::join_path(path, std::to_string(i));
        const auto& knot = table.knots[i];
        checks.within(text::join_path(entry, "1"), knot.temperature, lowest, highest, "K");
        if (!checks.not_negative(text::join_path(entry, "0"), knot.time, time) || i == 0) return;
        checks.require(knot.time > table.knots[i - 1].time, text::join_path(entry, "0"), knot.time, time,
                       "is not later than the entry before it", "times have to rise");
    }

    void check_period(const TemperatureTable& table) const {
        const auto &first = table.knots.front(), &last = table.knots.back();
        const double span = last.time - first.time;
        checks.require(*table.period >= span, at("period"), *table.period, time, "is shorter than the table",
                       fmt::format("at least {:.6g} s", span));
        checks.require(*table.period != span || first.temperature == last.temperature, at("period"),
                       *table.period, time, "would have the temperature jump where the table starts over",
                       "a longer period, or the same temperature at both ends");
    }
};

}  // namespace

void check_temperature(Checks& checks, const Temperature& given, const std::string& key) {
    std::visit(CourseChecks{checks, key}, given.course);
}

}  // namespace oxfade::plant::detail
