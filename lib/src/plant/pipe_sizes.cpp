#include "oxfade/plant/pipe_sizes.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "text/number.hpp"

namespace oxfade::plant {
namespace {

constexpr double inch = 0.0254;  // [m], exact

/// Outside diameter and walls of one nominal size [in]; a wall of zero: the table has no such pipe. DN is the
/// same size by its metric name.
struct SizeRow {
    std::string_view nominal;
    int dn;
    double outside;
    double wall_5, wall_10, wall_30, wall_40, wall_light;
};

/// ASME B36.10M, inch dimensions, schedules 5, 10 and 40 up to 8 in. From memory of the same standard: the
/// rows of 10 and 12 in, schedule 30, and the DN. `light` is the wall that sprinkler work allows for 8 and 10
/// in pipe with rolled grooves or welds (NFPA 13, table of steel pipe dimensions; from memory), where it
/// differs from schedule 10.
constexpr std::array<SizeRow, 15> rows{{
    {"1/2", 15, 0.840, 0.065, 0.083, 0, 0.109, 0},
    {"3/4", 20, 1.050, 0.065, 0.083, 0, 0.113, 0},
    {"1", 25, 1.315, 0.065, 0.109, 0, 0.133, 0},
    {"1-1/4", 32, 1.660, 0.065, 0.109, 0, 0.140, 0},
    {"1-1/2", 40, 1.900, 0.065, 0.109, 0, 0.145, 0},
    {"2", 50, 2.375, 0.065, 0.109, 0, 0.154, 0},
    {"2-1/2", 65, 2.875, 0.083, 0.120, 0, 0.203, 0},
    {"3", 80, 3.500, 0.083, 0.120, 0, 0.216, 0},
    {"3-1/2", 90, 4.000, 0.083, 0.120, 0, 0.226, 0},
    {"4", 100, 4.500, 0.083, 0.120, 0, 0.237, 0},
    {"5", 125, 5.563, 0.109, 0.134, 0, 0.258, 0},
    {"6", 150, 6.625, 0.109, 0.134, 0, 0.280, 0},
    {"8", 200, 8.625, 0.109, 0.148, 0.277, 0.322, 0.188},
    {"10", 250, 10.750, 0.134, 0.165, 0.307, 0.365, 0.188},
    {"12", 300, 12.750, 0.156, 0.180, 0.330, 0.406, 0},
}};

void append(std::vector<PipeSize>& sizes, const SizeRow& row, std::string_view schedule, double wall) {
    if (wall > 0.0) sizes.push_back({row.nominal, schedule, row.outside * inch, wall * inch, row.dn});
}

std::vector<PipeSize> build_sizes() {
    std::vector<PipeSize> sizes;
    for (const SizeRow& row : rows) {
        append(sizes, row, "5", row.wall_5);
        append(sizes, row, "10", row.wall_10);
        append(sizes, row, "30", row.wall_30);
        append(sizes, row, "40", row.wall_40);
        append(sizes, row, "light", row.wall_light);
    }
    return sizes;
}

bool is_inch(std::string_view unit) {
    return unit.empty() || unit == "in" || unit == "inch" || unit == "inches" || unit == "\"";
}

/// Nominal size in inches of a DN; empty when the table has none.
std::optional<std::string_view> nominal_of_dn(std::string_view text) {
    const auto number = text::leading_number(text);
    if (number.state != text::NumberState::good || !number.rest.empty()) return std::nullopt;
    const auto row = std::find_if(rows.begin(), rows.end(),
                                  [&](const SizeRow& entry) { return entry.dn == number.value; });
    return row == rows.end() ? std::nullopt : std::optional(row->nominal);
}

/// Nominal size as a number of inches; empty when it is not one.
std::optional<double> inches(std::string_view nominal) {
    nominal = text::trim(nominal);
    if (nominal.starts_with("DN") || nominal.starts_with("dn")) {
        const auto same = nominal_of_dn(nominal.substr(2));
        return same ? inches(*same) : std::nullopt;
    }
    const auto number = text::leading_number(nominal);
    if (number.state != text::NumberState::good || !is_inch(number.rest)) return std::nullopt;
    return number.value;
}

/// `schedule 10`, `Sch. 10` and `10` are one and the same.
std::string plain_schedule(std::string_view schedule) {
    std::string plain(text::trim(schedule));
    std::transform(plain.begin(), plain.end(), plain.begin(),
                   [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
    for (const std::string_view prefix : {"schedule", "sch.", "sch"}) {
        if (plain.rfind(prefix, 0) == 0)
            return std::string(text::trim(std::string_view(plain).substr(prefix.size())));
    }
    return plain;
}

}  // namespace

std::optional<PipeSize> find_pipe_size(std::string_view nominal, std::string_view schedule) {
    const auto wanted = inches(nominal);
    if (!wanted) return std::nullopt;
    const std::string name = plain_schedule(schedule);
    for (const PipeSize& size : all_pipe_sizes()) {
        if (size.schedule == name && std::abs(*inches(size.nominal) - *wanted) < 1e-9) return size;
    }
    return std::nullopt;
}

std::vector<std::string> schedules_of(std::string_view nominal) {
    const auto wanted = inches(nominal);
    std::vector<std::string> schedules;
    if (!wanted) return schedules;
    for (const PipeSize& size : all_pipe_sizes()) {
        if (std::abs(*inches(size.nominal) - *wanted) < 1e-9) schedules.emplace_back(size.schedule);
    }
    return schedules;
}

const std::vector<PipeSize>& all_pipe_sizes() {
    static const std::vector<PipeSize> sizes = build_sizes();
    return sizes;
}

}  // namespace oxfade::plant
