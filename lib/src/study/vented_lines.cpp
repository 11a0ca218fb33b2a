#include "study/vented_lines.hpp"

#include <algorithm>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "oxfade/plant/low_point.hpp"

namespace oxfade::study {
namespace {

/// A branch line from the main on, all its pieces.
struct Line {
    std::vector<std::size_t> pipes;
    std::size_t copies = 1;
    double lateness =
        0.0;  ///< time at which its far end meets the target [s]; beyond all times where it does not
};

bool has_vent(const plant::Riser& riser, const Line& line) {
    return std::any_of(riser.vents.begin(), riser.vents.end(), [&](const plant::Vent& vent) {
        return std::any_of(line.pipes.begin(), line.pipes.end(),
                           [&](std::size_t p) { return riser.pipes[p].name == vent.at; });
    });
}

double lateness(const outcome::PipeOutcome& pipe) {
    constexpr double never = 1e15;
    if (pipe.time_to_target.empty()) return 0.0;
    const auto& time = pipe.time_to_target.back();
    return time ? *time : never * (1.0 + pipe.oxygen.back());
}

/// The one pipe that goes on from another of a line; none at its far end.
std::optional<std::size_t> child_of(const plant::Riser& riser, std::size_t pipe) {
    for (std::size_t p = 0; p < riser.pipes.size(); ++p) {
        if (riser.parent_index(p) == pipe) return p;
    }
    return std::nullopt;
}

/// Lines without a vent, in file order.
std::vector<Line> lines_of(const plant::Riser& riser, const outcome::RiserOutcome& run) {
    const std::vector<bool> is_line = riser.branch_lines();
    const std::vector<int> copies = riser.copies();
    std::vector<Line> lines;
    for (std::size_t p = 0; p < riser.pipes.size(); ++p) {
        const auto parent = riser.parent_index(p);
        if (!is_line[p] || (parent && is_line[*parent])) continue;
        Line line{{p}, static_cast<std::size_t>(copies[p]), 0.0};
        while (const auto next = child_of(riser, line.pipes.back())) line.pipes.push_back(*next);
        if (has_vent(riser, line)) continue;
        line.lateness = lateness(run.pipes[line.pipes.back()]);
        lines.push_back(std::move(line));
    }
    return lines;
}

/// Those first that are to get a vent: every second where that is half of them, else the latest.
void put_in_order(std::vector<Line>& lines, std::size_t wanted, std::size_t all) {
    if (2 * wanted == all || 2 * wanted == all + 1) {
        std::vector<Line> sorted;
        for (const std::size_t begin : {std::size_t{0}, std::size_t{1}}) {
            for (std::size_t k = begin; k < lines.size(); k += 2) sorted.push_back(lines[k]);
        }
        lines = std::move(sorted);
        return;
    }
    std::stable_sort(lines.begin(), lines.end(),
                     [](const Line& a, const Line& b) { return a.lateness > b.lateness; });
}

/// Whether something is at the pipes of a line, so that splitting it would have to split that, too.
bool is_named(const plant::Riser& riser, const Line& line) {
    const auto on_line = [&](const std::string& pipe) {
        return std::any_of(line.pipes.begin(), line.pipes.end(),
                           [&](std::size_t p) { return riser.pipes[p].name == pipe; });
    };
    return std::any_of(riser.leaks.begin(), riser.leaks.end(),
                       [&](const plant::Leak& leak) { return leak.at && on_line(*leak.at); }) ||
           std::any_of(riser.low_points.begin(), riser.low_points.end(),
                       [&](const plant::LowPoint& point) { return on_line(point.on); }) ||
           std::any_of(riser.samples.begin(), riser.samples.end(),
                       [&](const plant::SamplingPoint& sample) { return on_line(sample.at); }) ||
           std::any_of(riser.links.begin(), riser.links.end(), [&](const plant::LoopLink& link) {
               return on_line(link.first) || on_line(link.second);
           });
}

void add_vent(plant::Riser& riser, const std::string& pipe, double diameter) {
    plant::Vent vent;
    vent.name = "purge vent at " + pipe;
    vent.at = pipe;
    vent.orifice.diameter = diameter;
    riser.vents.push_back(vent);
}

/// Puts some of the copies of a line under a name of their own, at the end of the list; the pipe at its far
/// end.
std::string split_off(plant::Riser& riser, const Line& line, int copies) {
    std::string from = riser.pipes[*riser.parent_index(line.pipes.front())].name;
    riser.pipes[line.pipes.front()].count -= copies;
    for (const std::size_t p : line.pipes) {
        plant::Pipe piece = riser.pipes[p];
        piece.name += " with vent";
        piece.from = from;
        if (p == line.pipes.front()) piece.count = copies;
        from = piece.name;
        riser.pipes.push_back(std::move(piece));
    }
    return from;
}

}  // namespace

std::size_t line_count(const plant::Riser& riser, const outcome::RiserOutcome& run) {
    std::size_t count = 0;
    for (const Line& line : lines_of(riser, run)) count += line.copies;
    return count;
}

void vent_lines(plant::Riser& riser, const outcome::RiserOutcome& run, std::size_t lines, double diameter) {
    std::vector<Line> all = lines_of(riser, run);
    put_in_order(all, lines, line_count(riser, run));
    std::size_t left = lines;
    for (std::size_t k = 0; k < all.size() && left > 0; ++k) {
        const Line& line = all[k];
        const auto own = static_cast<std::size_t>(riser.pipes[line.pipes.front()].count);
        const std::size_t outer = line.copies / own;  // copies of what it hangs on
        const std::size_t wanted = std::min(own, (left + outer - 1) / outer);
        if (wanted == own || is_named(riser, line)) {
            add_vent(riser, riser.pipes[line.pipes.back()].name, diameter);
            left -= std::min(left, line.copies);
        } else {
            add_vent(riser, split_off(riser, line, static_cast<int>(wanted)), diameter);
            left -= std::min(left, wanted * outer);
        }
    }
}

}  // namespace oxfade::study
