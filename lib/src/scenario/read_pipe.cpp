#include <fmt/format.h>

#include <array>
#include <limits>
#include <optional>

#include "oxfade/plant/pipe_sizes.hpp"
#include "scenario/readers.hpp"

namespace oxfade::scenario::detail {
namespace {

/// Bore of a pipe given by nominal size and schedule [m].
double read_nominal(Table& pipe, const std::optional<std::string>& usual) {
    const std::string nominal = pipe.required_text("nominal");
    const std::string schedule = usual && !pipe.has("schedule") ? *usual : pipe.required_text("schedule");
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
    const auto given =
        pipe.one_of({{"volume"}, {"nominal", "schedule"}, {"bore"}}, fmt::format("{} has no size", owner),
                    "give `volume`, or `nominal`, `schedule` and `length`, or `bore` and `length`");
    if (!given) {
        pipe.quantity("length", Dimension::length);
        return plant::VolumeOnly{unreadable};
    }
    if (*given == 0) {
        pipe.refuse("length", "`volume` and `length` exclude each other", "give `bore` and `length` instead");
        return plant::VolumeOnly{pipe.required_quantity("volume", Dimension::volume)};
    }
    plant::Cylinder cylinder;
    cylinder.bore =
        *given == 1 ? read_nominal(pipe, schedule) : pipe.required_quantity("bore", Dimension::length);
    if (*given == 1) pipe.reading().findings.shadow(pipe.key_path("bore"));  // not a key of this pipe
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
