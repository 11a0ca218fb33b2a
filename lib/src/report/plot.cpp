#include "plot.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <string>

#include "oxfade/report/units.hpp"

namespace oxfade::report::detail {
namespace {

constexpr std::size_t plot_columns = 66;
constexpr std::size_t plot_rows = 12;
constexpr double top = 0.21;           // just above plain air
constexpr double least_oxygen = 1e-4;  // the scale goes no deeper than 0.01 %
constexpr double seconds_per_hour = 3600.0;
constexpr double seconds_per_day = 86400.0;
constexpr int label_columns = 9;

/// Rows of the drawing, counted from the top, on a logarithmic scale.
class Scale {
  public:
    explicit Scale(double bottom) : span_(std::log(top / bottom)) {}
    std::size_t row(double fraction) const {
        const double share = std::log(top / std::clamp(fraction, least_oxygen, top)) / span_;
        return static_cast<std::size_t>(std::lround(std::clamp(share, 0.0, 1.0) * (plot_rows - 1)));
    }

  private:
    double span_;
};

/// Worst and mean of a curve in each column of the drawing.
struct Sampled {
    std::vector<double> largest = std::vector<double>(plot_columns, std::nan(""));
    std::vector<double> mean = std::vector<double>(plot_columns, std::nan(""));
};

Sampled sample(const std::vector<double>& times, const std::vector<double>& values) {
    Sampled sampled;
    std::vector<double> sum(plot_columns, 0.0);
    std::vector<double> count(plot_columns, 0.0);
    const double span = times.back() - times.front();
    for (std::size_t k = 0; k < std::min(times.size(), values.size()); ++k) {
        if (!std::isfinite(values[k])) continue;
        const double share = (times[k] - times.front()) / span * static_cast<double>(plot_columns);
        const std::size_t c = std::min(static_cast<std::size_t>(share), plot_columns - 1);
        sum[c] += values[k];
        count[c] += 1.0;
        sampled.largest[c] = std::fmax(sampled.largest[c], values[k]);
    }
    for (std::size_t c = 0; c < plot_columns; ++c) {
        if (count[c] > 0.0) sampled.mean[c] = sum[c] / count[c];
    }
    return sampled;
}

using Drawing = std::array<std::string, plot_rows>;

void put(Drawing& drawing, const Scale& scale, const std::vector<double>& values, char mark) {
    for (std::size_t c = 0; c < values.size(); ++c) {
        if (std::isfinite(values[c])) drawing[scale.row(values[c])][c] = mark;
    }
}

std::string dashes() {
    std::string line;
    while (line.size() < plot_columns) line += " -";
    return line.substr(0, plot_columns);
}

double bottom_of(const OxygenCurves& curves) {
    double lowest = curves.limit > 0.0 ? curves.limit : 0.02;
    for (const double value : curves.worst) lowest = std::fmin(lowest, value);
    for (const double value : curves.average) lowest = std::fmin(lowest, value);
    return std::clamp(lowest * 0.8, least_oxygen, 0.1);
}

/// A label for some rows: round percentages, and the limit, which wins its row.
std::array<std::string, plot_rows> labels_of(const Scale& scale, double bottom, double limit) {
    constexpr std::array<double, 11> round{0.2, 0.1, 0.05, 0.02, 0.01, 5e-3, 2e-3, 1e-3, 5e-4, 2e-4, 1e-4};
    std::array<std::string, plot_rows> labels;
    for (const double fraction : round) {
        if (fraction >= bottom) labels[scale.row(fraction)] = format_percent(fraction) + " |";
    }
    if (limit > 0.0) labels[scale.row(limit)] = format_percent(limit) + " -";
    for (std::string& label : labels) {
        if (label.empty()) label = "|";
        label.insert(0, label_columns + 2 - std::min<std::size_t>(columns_of(label), label_columns + 2), ' ');
    }
    return labels;
}

/// A round step of the time axis that gives about six marks.
double axis_step(double span) {
    for (const double step : {1.0, 2.0, 3.0, 5.0, 7.0, 10.0, 14.0, 20.0, 30.0, 50.0, 100.0, 200.0}) {
        if (span / step <= 8.0) return step;
    }
    return std::ceil(span / 5.0);
}

void draw_axis(Page& page, double first, double last) {
    const bool hours = last - first < 2.0 * seconds_per_day;
    const double unit = hours ? seconds_per_hour : seconds_per_day;
    const double step = axis_step((last - first) / unit);
    std::string rule(plot_columns, '-');
    std::string numbers(plot_columns + 8, ' ');
    for (double mark = std::ceil(first / unit / step) * step; mark * unit <= last; mark += step) {
        const double share = (mark * unit - first) / (last - first);
        const auto c = static_cast<std::size_t>(share * static_cast<double>(plot_columns - 1));
        rule[c] = '+';
        const std::string label = format_number(mark);
        numbers.replace(c, label.size(), label);
    }
    numbers.erase(numbers.find_last_not_of(' ') + 1);
    page.line(std::string(label_columns + 1, ' ') + '+' + rule);
    page.line(fmt::format("{:>{}}  {}", hours ? "hours" : "days", label_columns, numbers));
}

void draw_legend(Page& page, const OxygenCurves& curves) {
    std::string legend = "  Oxygen in the dry gas:  * worst cell";
    if (!curves.average.empty()) legend += "   o average";
    if (curves.limit > 0.0) legend += "   - target";
    page.line(legend);
}

}  // namespace

void draw(Page& page, const OxygenCurves& curves) {
    if (curves.times.size() < 2 || !(curves.times.back() > curves.times.front())) return;
    const double bottom = bottom_of(curves);
    const Scale scale(bottom);
    Drawing drawing;
    drawing.fill(std::string(plot_columns, ' '));
    if (curves.limit > 0.0) drawing[scale.row(curves.limit)] = dashes();
    put(drawing, scale, sample(curves.times, curves.average).mean, 'o');
    put(drawing, scale, sample(curves.times, curves.worst).largest, '*');
    const std::array<std::string, plot_rows> labels = labels_of(scale, bottom, curves.limit);
    draw_legend(page, curves);
    for (std::size_t row = 0; row < plot_rows; ++row) {
        std::string line = labels[row] + drawing[row];
        line.erase(line.find_last_not_of(' ') + 1);
        page.line(line);
    }
    draw_axis(page, curves.times.front(), curves.times.back());
}

}  // namespace oxfade::report::detail
