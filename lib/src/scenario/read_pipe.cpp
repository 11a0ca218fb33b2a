#include <fmt/format.h>

#include <array>
#include <cmath>
#include <limits>
#include <optional>

#include "oxfade/plant/pipe_sizes.hpp"
#include "scenario/readers.hpp"

namespace oxfade::scenario::detail {
namespace {

/// Bore of a pipe from its outside diameter and the key `wall` [m].
double bore_inside(Table& pipe, double outside) {
    const double wall = pipe.required_quantity("wall", Dimension::length);
    if (std::isnan(outside) || std::isnan(wall)) return unreadable;
    if (wall > 0.0 && 2.0 * wall < outside) return outside - 2.0 * wall;
    pipe.add_problem("wall", "is out of range",
                     fmt::format("above 0 and below half the outside diameter, {:.4g} mm ({:.4g} in)",
                                 500.0 * outside, 0.5 * outside / 0.0254));
    return unreadable;
}

/// Bore of a pipe of a nominal size whose wall is given [m].
double read_wall(Table& pipe, const std::string& nominal) {
    pipe.one_of({{"schedule"}, {"wall"}}, "", "keep one of `schedule` and `wall`");
    const auto schedules = plant::schedules_of(nominal);
    if (!schedules.empty()) {
        return bore_inside(pipe, plant::find_pipe_size(nominal, schedules.front())->outside_diameter);
    }
    pipe.required_quantity("wall", Dimension::length);
    pipe.add_problem("nominal", "is not a nominal pipe size known here",
                     fmt::format("in inches: {}; or as DN, such as DN32; or give `outside_diameter`",
                                 known_nominal_sizes()));
    return unreadable;
}

/// The usual schedule of a nominal size: 40 up to 2 in, 10 above.
std::string schedule_of_size(const Table& pipe, const std::string& nominal) {
    const auto size = plant::find_pipe_size(nominal, "40");
    if (!size) return "40";  // what is wrong is the nominal size
    const std::string usual = size->dn <= 50 ? "40" : "10";
    const bool listed = plant::find_pipe_size(nominal, usual).has_value();
    pipe.assume("schedule", listed ? usual : "40");
    return listed ? usual : "40";
}

/// Bore of a pipe given by nominal size and schedule or wall [m].
double read_nominal(Table& pipe, const std::optional<std::string>& usual) {
    const std::string nominal = pipe.required_text("nominal");
    if (pipe.has("wall")) return nominal.empty() ? unreadable : read_wall(pipe, nominal);
    const std::string schedule = usual && !pipe.has("schedule") ? *usual
                                 : pipe.has("schedule")         ? pipe.required_text("schedule")
                                                                : schedule_of_size(pipe, nominal);
    if (nominal.empty() || schedule.empty()) return unreadable;
    if (const auto size = plant::find_pipe_size(nominal, schedule)) return size->bore();
    const auto schedules = plant::schedules_of(nominal);
    if (schedules.empty()) {
        pipe.add_problem(
            "nominal", "is not a nominal pipe size known here",
            fmt::format("in inches: {}; or as DN, such as DN32; or give `bore`", known_nominal_sizes()));
    } else {
        pipe.add_problem("schedule", fmt::format("there is no such schedule of nominal {}", nominal),
                         fmt::format("allowed: {}; or give `bore`", fmt::join(schedules, ", ")));
    }
    return unreadable;
}

/// Elevations of the near and the far end.
std::optional<std::array<double, 2>> read_elevations(Table& pipe) {
    const auto given = pipe.quantities("elevations", Dimension::length);
    if (given && given->size() == 2) return std::array{(*given)[0], (*given)[1]};
    if (given) {
        pipe.add_problem("elevations", fmt::format("expected two elevations, got {}", given->size()),
                         "of the near and the far end, for example [\"12 ft\", \"12.5 ft\"]");
    }
    return std::nullopt;
}

}  // namespace

std::string known_nominal_sizes() {
    std::string sizes, last;
    for (const auto& size : plant::all_pipe_sizes()) {
        if (size.nominal == last) continue;
        last = size.nominal;
        sizes += (sizes.empty() ? "" : ", ") + last;
    }
    return sizes;
}

std::variant<plant::VolumeOnly, plant::Cylinder> read_shape(Table& pipe, std::string_view owner,
                                                            const std::optional<std::string>& schedule) {
    const auto given = pipe.one_of(
        {{"volume"}, {"nominal", "schedule"}, {"bore"}, {"outside_diameter"}},
        fmt::format("{} has no size", owner),
        "give `volume`, or `nominal`, `schedule` (or `wall`) and `length`, or `bore` and `length`, or "
        "`outside_diameter`, `wall` and `length`");
    if (!given) {
        pipe.quantity("length", Dimension::length);
        pipe.quantity("wall", Dimension::length);
        return plant::VolumeOnly{unreadable};
    }
    if (*given == 0) {
        pipe.refuse("length", "`volume` and `length` exclude each other", "give `bore` and `length` instead");
        pipe.refuse("wall", "`volume` and `wall` exclude each other", "leave this key out");
        return plant::VolumeOnly{pipe.required_quantity("volume", Dimension::volume)};
    }
    plant::Cylinder cylinder;
    if (*given == 1) cylinder.bore = read_nominal(pipe, schedule);
    if (*given == 2) {
        pipe.refuse("wall", "`bore` and `wall` exclude each other", "the bore is the inside diameter");
        cylinder.bore = pipe.required_quantity("bore", Dimension::length);
    }
    if (*given == 3)
        cylinder.bore = bore_inside(pipe, pipe.required_quantity("outside_diameter", Dimension::length));
    if (*given != 2) pipe.reading().findings.shadow(pipe.key_path("bore"));  // not a key of this pipe
    cylinder.length = pipe.required_quantity("length", Dimension::length);
    return cylinder;
}

std::optional<double> read_pitch(Table& table) {
    const auto position =
        table.choice<double>("position", {{"level", 0.0}, {"vertical", 1.0}, {"drop", -1.0}});
    const auto pitch = table.quantity("pitch", Dimension::slope);
    return position ? position : pitch;
}

plant::Pipe read_pipe(Table table) {
    plant::Pipe pipe;
    pipe.name = table.required_text("name");
    pipe.from = table.text("from");
    pipe.shape = read_shape(table, "the pipe");
    pipe.cells = table.count("cells");
    pipe.count = table.count("count").value_or(pipe.count);
    table.one_of({{"position"}, {"pitch"}, {"elevations"}}, "",
                 "keep one of `position`, `pitch` and `elevations`");
    pipe.pitch = read_pitch(table);
    pipe.elevation = read_elevations(table);
    pipe.exchange = table.quantity("exchange", Dimension::molar_flow);
    table.finish();
    return pipe;
}

}  // namespace oxfade::scenario::detail
