#pragma once

#include <optional>
#include <utility>
#include <variant>
#include <vector>

namespace oxfade::plant {

/// The length of a year of seasons [s]: 365.25 days.
inline constexpr double year_of_seasons = 365.25 * 86400.0;

/// A temperature that swings as a cosine: warmest once a period, coldest half a period later. A second cosine
/// of a year may come on top, for the seasons.
struct DailySwing {
    double mean = 293.15;      ///< [K]
    double swing = 0.0;        ///< from coldest to warmest [K], >= 0
    double period = 86400.0;   ///< [s], > 0
    double warmest = 54000.0;  ///< when it is warmest for the first time, from the start of the run [s]
    double season =
        0.0;  ///< from the coldest to the warmest day of the year, of its mean temperature [K], >= 0
    double season_warmest = 0.0;  ///< the middle of the warmest season, from the start of the run [s]
};

/// Straight lines between given temperatures; constant before the first and after the last.
struct TemperatureTable {
    struct Knot {
        double time = 0.0;         ///< from the start of the run [s], >= 0
        double temperature = 0.0;  ///< [K]
    };
    std::vector<Knot> knots;       ///< at least one, times rising
    std::optional<double> period;  ///< starts over after this long [s], >= last time - first time
};

/// How warm something is in the course of the run (model.md section 10).
class Temperature {
  public:
    using Course = std::variant<double, DailySwing, TemperatureTable>;

    Temperature(double constant = 293.15) : course(constant) {}  // NOLINT(*-explicit-*): a number is one
    Temperature(DailySwing swing) : course(swing) {}             // NOLINT(*-explicit-*)
    Temperature(TemperatureTable table) : course(std::move(table)) {}  // NOLINT(*-explicit-*)

    Course course;  ///< of the three; a constant [K]

    /// True when it never changes.
    bool steady() const;
    double at(double time) const;        ///< [K]
    double slope_at(double time) const;  ///< [K/s], just after a knot
    double mean() const;                 ///< over a period, or from the first to the last knot [K]
    double coldest() const;              ///< [K]
    double warmest() const;              ///< [K]
    /// The first moment after `time` at which the slope jumps [s]; infinite when there is none.
    double next_knot(double time) const;
    /// The longest step [s] that cannot miss what it does between knots; infinite along straight lines.
    double longest_step() const;
};

}  // namespace oxfade::plant
