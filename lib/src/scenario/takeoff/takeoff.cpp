#include "oxfade/scenario/takeoff.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <optional>
#include <utility>

#include "oxfade/error.hpp"
#include "oxfade/plant/low_places.hpp"
#include "oxfade/plant/pipe_sizes.hpp"
#include "plant/pipe_tree.hpp"
#include "scenario/findings.hpp"
#include "scenario/read_tree.hpp"
#include "scenario/takeoff/place.hpp"
#include "text/key_path.hpp"

namespace oxfade::scenario {
namespace {

using detail::SystemPiping;
using plant::Pipe;
using plant::Riser;

/// What surrounds the piping so that it is a plant and passes the checks of one; messages about lengths are
/// in the units that most of a file is written in.
constexpr std::string_view us_surroundings = R"(format = 1
duration = "1 d"
target = "98 %"
[site]
altitude = "0 ft"
temperature = "60 degF"
[source]
kind = "compressor"
air_flow = "700 ft3/h"
receiver = { volume = "250 gal", start = "85 psig", stop = "105 psig" }
)";
constexpr std::string_view si_surroundings = R"(format = 1
duration = "1 d"
target = "98 %"
[site]
altitude = "0 m"
temperature = "15 degC"
[source]
kind = "compressor"
air_flow = "330 L/min"
receiver = { volume = "1 m3", start = "6 barg", stop = "7.5 barg" }
)";

constexpr std::string_view us_riser = R"(set_pressure = "28 psig"
fill = { diameter = "0.04 in" }
supply = { kind = "regulator", diameter = "0.02 in" }
)";
constexpr std::string_view si_riser = R"(set_pressure = "2 barg"
fill = { diameter = "1 mm" }
supply = { kind = "regulator", diameter = "0.5 mm" }
)";

/// A name for a system without one that no other has.
std::string riser_name(const SystemPiping& system) { return system.name.empty() ? "takeoff" : system.name; }

/// The piping as plant structs, checked as a scenario's is; what is wrong is told at the rows.
std::vector<Riser> checked(const detail::ReadTakeoff& read, UnitSystem units) {
    const bool us = units == UnitSystem::us;
    toml::table root = toml::parse(us ? us_surroundings : si_surroundings);
    toml::array risers;
    detail::PlacedTakeoffs placed;
    for (const SystemPiping& system : read.systems) {
        toml::table riser = toml::parse(us ? us_riser : si_riser);
        riser.insert("name", riser_name(system));
        detail::put_piping(riser, text::join_path("riser", riser_name(system)), system, read.file,
                           placed.origins);
        risers.push_back(std::move(riser));
    }
    root.insert("riser", std::move(risers));
    try {
        return detail::read_tree(root, read.file, std::move(placed), {}).plant.risers;
    } catch (const InputError& error) {
        std::vector<Problem> problems = error.problems();
        // What is not at a row is about the surroundings.
        std::erase_if(problems, [&](const Problem& p) { return p.file != read.file || p.line == 0; });
        if (!problems.empty()) throw InputError(std::move(problems));
        problems = error.problems();  // of the piping as a whole
        for (Problem& problem : problems) problem.file = read.file;
        throw InputError(std::move(problems));
    }
}

std::string size_name(double bore, UnitSystem units) {
    for (const plant::PipeSize& size : plant::all_pipe_sizes()) {
        if (!(std::abs(size.bore() - bore) < 1e-9)) continue;
        if (units == UnitSystem::si) return fmt::format("DN{} schedule {}", size.dn, size.schedule);
        return fmt::format("{} in schedule {}", size.nominal, size.schedule);
    }
    return units == UnitSystem::si ? fmt::format("{:.4g} mm bore", 1e3 * bore)
                                   : fmt::format("{:.4g} in bore", bore / 0.0254);
}

std::vector<TakeoffSize> sizes_of(const Riser& riser, UnitSystem units) {
    std::map<std::string, TakeoffSize> by_name;
    const std::vector<int> copies = riser.copies();
    for (std::size_t k = 0; k < riser.pipes.size(); ++k) {
        const plant::Cylinder* shape = riser.pipes[k].geometry();
        if (shape == nullptr) continue;
        const std::string name = size_name(shape->bore, units);
        TakeoffSize& size = by_name[name];
        size.size = name;
        size.bore = shape->bore;
        size.length += copies[k] * shape->length;
        size.volume += copies[k] * riser.pipes[k].volume();
    }
    std::vector<TakeoffSize> sizes;
    sizes.reserve(by_name.size());
    for (auto& [name, size] : by_name) sizes.push_back(std::move(size));
    std::sort(sizes.begin(), sizes.end(),
              [](const TakeoffSize& a, const TakeoffSize& b) { return a.bore > b.bore; });
    return sizes;
}

/// Looks at one system for what is to be compared with the drawing.
class Looker {
  public:
    Looker(const SystemPiping& system, TakeoffSystem& result)
        : system_(system), result_(result), tree_(result.piping), copies_(result.piping.copies()) {}

    void look() {
        count_lines();
        find_open_ends();
        find_heights();
        for (const plant::LowPlace& place : plant::low_places(result_.piping))
            result_.low_places.push_back(result_.piping.pipes[place.pipe].name);
    }

  private:
    /// Whether a pipe is one of a row of branch lines.
    bool in_group(const std::string& pipe) const {
        if (system_.row_of.count(pipe) != 0) return false;
        return std::any_of(system_.groups.begin(), system_.groups.end(), [&](const std::string& group) {
            return pipe.size() > group.size() && pipe.starts_with(group) && pipe[group.size()] == ' ';
        });
    }

    /// The row of a pipe, also where branch lines part it.
    std::optional<std::size_t> row_of(const std::string& pipe) const {
        auto found = system_.row_of.find(pipe);
        if (found == system_.row_of.end()) found = system_.row_of.find(pipe.substr(0, pipe.rfind(' ')));
        return found == system_.row_of.end() ? std::nullopt : std::optional(found->second);
    }

    /// A branch line begins where a pipe without forks leaves another row, and goes on to its end.
    void count_lines() {
        const std::vector<bool> run = result_.piping.branch_lines();
        in_line_.assign(run.size(), false);
        for (const std::size_t k : tree_.parents_first()) {
            const std::string& name = result_.piping.pipes[k].name;
            const auto parent = tree_.parent(k);
            if (in_group(name)) {
                in_line_[k] = true;
                if (name.find(" piece ") == std::string::npos) result_.branch_lines += copies_[k];
            } else if (parent && run[k] && in_line_[*parent]) {
                in_line_[k] = true;
            } else if (parent && run[k] && system_.no_lines.count(name) == 0 &&
                       row_of(name) != row_of(result_.piping.pipes[*parent].name)) {
                in_line_[k] = true;
                result_.branch_lines += copies_[k];
            }
        }
    }

    void find_open_ends() {
        std::vector<bool> joined(result_.piping.pipes.size(), false);
        for (std::size_t k = 0; k < joined.size(); ++k) {
            if (tree_.parent(k)) joined[*tree_.parent(k)] = true;
        }
        for (const plant::LoopLink& link : result_.piping.links) {
            for (const std::string& end : {link.first, link.second}) joined[*tree_.index(end)] = true;
        }
        for (std::size_t k = 0; k < joined.size(); ++k) {
            if (!joined[k] && !in_line_[k]) result_.open_ends.push_back(result_.piping.pipes[k].name);
        }
    }

    void find_heights() {
        const std::vector<double> pitches = result_.piping.pitches();
        std::vector<double> heights(pitches.size(), 0.0);
        bool first = true;
        for (const std::size_t k : tree_.parents_first()) {
            const Pipe& pipe = result_.piping.pipes[k];
            if (first) result_.absolute = pipe.elevation.has_value();
            const double begin = tree_.parent(k)  ? heights[*tree_.parent(k)]
                                 : pipe.elevation ? (*pipe.elevation)[0]
                                                  : 0.0;
            const double length = pipe.geometry() != nullptr ? pipe.geometry()->length : 0.0;
            heights[k] =
                result_.absolute && pipe.elevation ? (*pipe.elevation)[1] : begin + pitches[k] * length;
            if (first) result_.highest = result_.lowest = {"", begin};
            if (heights[k] > result_.highest.height + 1e-9) result_.highest = {pipe.name, heights[k]};
            if (heights[k] < result_.lowest.height - 1e-9) result_.lowest = {pipe.name, heights[k]};
            first = false;
        }
    }

    const SystemPiping& system_;
    TakeoffSystem& result_;
    plant::PipeTree tree_;
    std::vector<int> copies_;
    std::vector<bool> in_line_;  ///< pipes that are part of a branch line
};

}  // namespace

Takeoff read_takeoff_text(std::string_view csv, const std::string& name, const TakeoffOptions& options) {
    const detail::ReadTakeoff read = detail::read_takeoff_rows(csv, name, {options.tolerance, options.vent});
    if (!read.problems.empty()) throw InputError(detail::first_of(read.problems));
    Takeoff takeoff;
    takeoff.file = name;
    takeoff.unused_columns = read.unused_columns;
    const auto us = std::count_if(read.systems.begin(), read.systems.end(),
                                  [](const SystemPiping& system) { return system.us_units; });
    takeoff.units = 2 * us > std::ssize(read.systems) ? UnitSystem::us : UnitSystem::si;
    std::vector<Riser> risers = checked(read, takeoff.units);
    for (std::size_t k = 0; k < read.systems.size(); ++k) {
        const SystemPiping& system = read.systems[k];
        TakeoffSystem result;
        result.name = system.name;
        result.rows = system.rows;
        result.piping = std::move(risers[k]);
        result.toml = system.toml;
        result.sizes = sizes_of(result.piping, takeoff.units);
        result.drains = system.drains;
        result.near_misses = system.near_misses;
        Looker(system, result).look();
        takeoff.ticked_vents = takeoff.ticked_vents || system.marked_vents;
        takeoff.systems.push_back(std::move(result));
    }
    return takeoff;
}

Takeoff read_takeoff(const std::filesystem::path& file, const TakeoffOptions& options) {
    return read_takeoff_text(detail::takeoff_contents(file.string()), file.string(), options);
}

}  // namespace oxfade::scenario
