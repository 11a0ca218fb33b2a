#include "answers.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "oxfade/report/text.hpp"

namespace oxfade::report::detail {
namespace {

using outcome::RiserOutcome;
using plant::TargetAt;

std::string readings_label(const RiserOutcome& riser) {
    const auto vents = std::count_if(riser.readings.begin(), riser.readings.end(),
                                     [](const outcome::Reading& reading) { return reading.vent; });
    const auto samples = static_cast<std::ptrdiff_t>(riser.readings.size()) - vents;
    if (samples == 0) return "at vents";
    return vents == 0 ? "at samples" : "at readings";
}

/// For the column of a system's own lines.
const char* short_place(TargetAt at) {
    return at == TargetAt::readings  ? "at vents and sampling points"
           : at == TargetAt::average ? "on average"
                                     : "in every part";
}

/// The reading that is last at the target, or worst at the end.
const outcome::Reading* last_reading(const RiserOutcome& riser) {
    const auto later = [](const outcome::Reading& a, const outcome::Reading& b) {
        if (!a.time_to_target || !b.time_to_target)
            return a.time_to_target && !b.time_to_target   ? true
                   : !a.time_to_target && b.time_to_target ? false
                                                           : a.oxygen < b.oxygen;
        return *a.time_to_target < *b.time_to_target;
    };
    const auto last = std::max_element(riser.readings.begin(), riser.readings.end(), later);
    return last == riser.readings.end() ? nullptr : &*last;
}

std::string answer_text(const RiserOutcome& riser, const Answer& answer) {
    if (!answer.known) return "no vent and no sampling point to read";
    if (!answer.time) {
        if (answer.at == TargetAt::readings) {
            if (const outcome::Reading* last = last_reading(riser))
                return fmt::format("not met: '{}' reads {} nitrogen at the end", last->name,
                                   format_purity(1.0 - last->oxygen));
        }
        if (answer.at == TargetAt::average)
            return fmt::format("not met: {} nitrogen at the end", format_purity(1.0 - riser.average_oxygen));
        return "not met at the end";
    }
    return fmt::format("after {} ({})", format_time(*answer.time), format_day(*answer.time));
}

std::string stretches_text(const std::vector<outcome::Stretch>& stretches, std::size_t count) {
    constexpr std::size_t shown = 4;
    std::string text;
    for (std::size_t i = 0; i < std::min(count, shown); ++i) {
        text += fmt::format("{}{} to {}", i == 0 ? "" : ", ", format_day(stretches[i].begin),
                            format_day(stretches[i].end));
    }
    if (count > shown) text += fmt::format(" and {} more times", count - shown);
    return text;
}

}  // namespace

std::string_view target_at_name(TargetAt at) {
    switch (at) {
        case TargetAt::readings:
            return "readings";
        case TargetAt::average:
            return "average";
        case TargetAt::everywhere:
            return "everywhere";
    }
    return "unknown";
}

std::string_view target_place(TargetAt at) {
    switch (at) {
        case TargetAt::readings:
            return "at all vents and sampling points";
        case TargetAt::average:
            return "on average over the piping";
        case TargetAt::everywhere:
            return "in every part of the piping";
    }
    return "";
}

std::string target_tag(TargetAt at) {
    return at == TargetAt::everywhere ? std::string() : fmt::format(" ({})", target_at_name(at));
}

std::vector<Answer> answers_of(const RiserOutcome& riser, TargetAt asked) {
    std::vector<Answer> list{
        {TargetAt::readings, readings_label(riser), false, !riser.readings.empty(), riser.time_at_readings},
        {TargetAt::average, "on average", false, true, riser.time_of_average},
        {TargetAt::everywhere, "every part", false, true, riser.time_everywhere}};
    for (Answer& answer : list) {
        answer.asked = answer.at == asked;
        if (answer.asked) answer.time = riser.time_to_target;
    }
    return list;
}

std::string time_error_text(const std::optional<double>& error) {
    return error ? fmt::format(" (cells: ±{})", format_time(*error)) : std::string();
}

std::string oxygen_error_text(const std::optional<double>& error) {
    return error ? fmt::format(" (cells: ±{})", format_percent(*error)) : std::string();
}

std::string resolution_text(const outcome::Resolution& resolution) {
    if (resolution.cells <= 0) return "";
    std::string text = fmt::format("Pipes were cut into {} cells", resolution.cells);
    if (resolution.pipes_as_given > 0)
        text += fmt::format(" ({} {} as the file says)", resolution.pipes_as_given,
                            resolution.pipes_as_given == 1 ? "pipe" : "pipes");
    if (resolution.compared_with > 0)
        return text + fmt::format(
                          "; ± after 'cells' is how far that may still move a number, from a second run "
                          "with {}.",
                          resolution.compared_with);
    return text + "; how far that moves the numbers was not checked.";
}

std::string cell_place(const plant::Riser& given, const outcome::PipeOutcome& pipe, std::size_t cell,
                       const Units& units) {
    const std::string name =
        fmt::format("'{}'{}", pipe.name, pipe.copies > 1 ? fmt::format(" ({} equal)", pipe.copies) : "");
    const std::size_t cells = pipe.oxygen.size();
    if (cells < 2) return name;
    if (cell + 1 == cells) return name + ", far end";
    if (cell == 0) return name + ", near end";
    const auto index = given.pipe_index(pipe.name);
    const plant::Cylinder* shape = index ? given.pipes[*index].geometry() : nullptr;
    if (shape == nullptr || cell >= pipe.cell_ends.size())
        return fmt::format("{}, cell {} of {}", name, cell + 1, cells);
    const double middle = 0.5 * (pipe.cell_ends[cell - 1] + pipe.cell_ends[cell]) * shape->length;
    return fmt::format("{}, {} from its near end", name,
                       format_value(middle, outcome::Dimension::length, units));
}

std::string asked_text(const RiserOutcome& riser, TargetAt asked) {
    const std::size_t stretches = riser.at_target.size();
    if (riser.time_to_target) {
        std::string text = fmt::format("{} after {} ({}){}, and stays there", short_place(asked),
                                       format_time(*riser.time_to_target), format_day(*riser.time_to_target),
                                       time_error_text(riser.space_error_of_time));
        if (stretches > 1) text += "; before that from " + stretches_text(riser.at_target, stretches - 1);
        return text;
    }
    std::string text = fmt::format("NOT {} at the end", short_place(asked));
    if (riser.not_met_because) text += ", because " + reason(*riser.not_met_because);
    if (stretches > 0) text += "; it was from " + stretches_text(riser.at_target, stretches);
    return text;
}

void write_answers(Page& page, const RiserOutcome& riser, TargetAt asked) {
    page.labelled("Target met", asked_text(riser, asked));
    for (const Answer& answer : answers_of(riser, asked)) {
        if (!answer.asked) page.labelled("  " + answer.label, answer_text(riser, answer));
    }
}

Json readings_json(const RiserOutcome& riser) {
    Json list = Json::array();
    for (const outcome::Reading& reading : riser.readings) {
        list.push_back({{"name", reading.name},
                        {"kind", reading.vent ? "vent" : "sampling-point"},
                        {"pipe", reading.pipe},
                        {"cell", reading.cell + 1},
                        {"oxygen", number(reading.oxygen)},
                        {"time_to_target_s", number(reading.time_to_target)}});
    }
    return list;
}

Json resolution_json(const outcome::Resolution& resolution) {
    return {{"cells", resolution.cells},
            {"pipes_as_given", resolution.pipes_as_given},
            {"compared_with", resolution.compared_with > 0 ? Json(resolution.compared_with) : Json(nullptr)}};
}

}  // namespace oxfade::report::detail
