#include "oxfade/scenario/read.hpp"

#include <fmt/format.h>

#include <locale>
#include <sstream>
#include <system_error>
#include <utility>

#include "oxfade/gas/constants.hpp"
#include "scenario/file_text.hpp"
#include "scenario/read_tree.hpp"
#include "scenario/readers.hpp"
#include "text/date.hpp"
#include "text/key_path.hpp"

namespace oxfade::scenario {
namespace {

using detail::Reading;
using detail::Table;

constexpr std::size_t largest_file = 4'000'000;  // bytes

void read_format(Table& root) {
    const auto format = root.count("format");
    if (!root.has("format")) root.add_problem("format", "this key is missing", "format = 1 is wanted");
    if (format && *format != 1) {
        root.add_problem("format", "this version does not know this format", "format = 1 is wanted");
    }
}

/// When the run begins, as plant::Plant has it.
std::string read_start(Table& root) {
    const std::string given = root.date("start").value_or("");
    if (given.empty()) return "";
    if (const auto date = text::parse_date(given)) return root.reading().start = text::iso_date(*date);
    root.add_problem("start", "is not a date and time", std::string(plant::start_allowed));
    return "";
}

plant::Mixing read_mixing(Table table) {
    plant::Mixing mixing;
    mixing.molecular = table.flag("molecular").value_or(mixing.molecular);
    mixing.buoyant = table.flag("buoyant").value_or(mixing.buoyant);
    mixing.shear = table.flag("shear").value_or(mixing.shear);
    mixing.mouth = table.number("mouth").value_or(mixing.mouth);
    mixing.warm_end = table.quantity("warm_end", Dimension::temperature_difference).value_or(mixing.warm_end);
    table.finish();
    return mixing;
}

void read_solver(Table solver, Scenario& scenario) {
    scenario.relative_tolerance = solver.number("relative_tolerance");
    const auto& tolerance = scenario.relative_tolerance;
    if (tolerance && !(*tolerance >= 1e-12 && *tolerance <= 1e-2)) {
        solver.add_problem("relative_tolerance", "is out of range", "from 1e-12 to 1e-2");
    }
    scenario.refinement = solver.number("refinement");
    if (scenario.refinement && !(*scenario.refinement >= 0.05 && *scenario.refinement <= 100.0)) {
        solver.add_problem("refinement", "is out of range", "from 0.05 to 100");
    }
    solver.finish();
}

plant::Plant read_plant(Table& root) {
    plant::Plant plant;
    plant.title = root.text("title").value_or("");
    plant.start = read_start(root);
    plant.duration = root.usual_quantity("duration", Dimension::time, "30 d");
    plant.target = root.usual_quantity("target", Dimension::fraction, "98 %");
    const auto target_at =
        root.choice<plant::TargetAt>("target_at", {{"everywhere", plant::TargetAt::everywhere},
                                                   {"average", plant::TargetAt::average},
                                                   {"readings", plant::TargetAt::readings}});
    plant.target_at = target_at.value_or(plant.target_at);
    plant.site = detail::read_site(root.table_or_none("site"));
    plant.source = detail::read_source(root.required_table("source"));
    for (Table& riser : root.list("riser")) plant.risers.push_back(detail::read_riser(std::move(riser)));
    if (const auto mixing = root.table("mixing")) plant.mixing = read_mixing(*mixing);
    for (Table& action : root.list("action")) {
        plant.actions.push_back(detail::read_action(std::move(action), plant));
    }
    return plant;
}

Scenario read_root(Table root) {
    Scenario scenario;
    read_format(root);
    scenario.plant = read_plant(root);
    if (const auto solver = root.table("solver")) read_solver(*solver, scenario);
    root.finish();
    Reading& reading = root.reading();
    scenario.plant.assumed = std::move(reading.assumed);
    scenario.units = reading.us_units > reading.si_units ? UnitSystem::us : UnitSystem::si;
    return scenario;
}

std::string contents(const std::filesystem::path& file) {
    std::error_code error;
    if (std::filesystem::is_directory(file, error)) {
        throw FileError(fmt::format("{} is a directory, a scenario file is wanted", file.string()));
    }
    return detail::file_text(file, largest_file);
}

/// The tree as text, without the keys whose takeoffs are in it.
std::string resolved(toml::table tree) {
    for (toml::node& riser : *tree["riser"].as_array()) riser.as_table()->erase("takeoff");
    std::ostringstream text;
    text.imbue(std::locale::classic());
    text << tree << '\n';
    return text.str();
}

/// Overrides that are about `takeoff` keys, and the rest.
std::pair<std::vector<Override>, std::vector<Override>> parted(const std::vector<Override>& overrides) {
    std::pair<std::vector<Override>, std::vector<Override>> parts;
    for (const Override& override : overrides) {
        const auto path = text::split_path(override.key);
        const bool takeoff = path && path->size() > 2 && (*path)[0] == "riser" && (*path)[2] == "takeoff";
        (takeoff ? parts.first : parts.second).push_back(override);
    }
    return parts;
}

}  // namespace

namespace detail {

Scenario read_tree(const toml::table& tree, const std::string& name, PlacedTakeoffs takeoffs,
                   std::vector<Problem> problems) {
    Origins origins(tree);
    origins.take(std::move(takeoffs.origins));
    Reading reading{Findings(name, origins), gas::standard_pressure};
    reading.folder = std::filesystem::path(name).parent_path();
    Scenario scenario = read_root(Table(reading, &tree, ""));
    scenario.file = name;
    for (const std::string& riser : takeoffs.spoiled) reading.findings.shadow(riser);
    reading.findings.adopt(plant::find_problems(scenario.plant));
    for (Problem& problem : problems) reading.findings.add(std::move(problem));
    if (!reading.findings.empty()) throw InputError(reading.findings.take());
    for (const auto& hint : takeoffs.hints) reading.findings.hint(hint.path, hint.what, hint.allowed);
    scenario.hints = reading.findings.hints();
    return scenario;
}

}  // namespace detail

Scenario read_text(std::string_view toml, const std::string& name, const std::vector<Override>& overrides) {
    if (toml.size() > largest_file) {
        throw FileError(
            fmt::format("{} is too large for a scenario file (over {} bytes)", name, largest_file));
    }
    toml::table tree = detail::parse_toml(toml, name);
    // Takeoffs come between the settings that say which, and those that change what is in them.
    const auto [about_takeoffs, others] = parted(overrides);
    std::vector<Problem> problems = detail::apply(about_takeoffs, tree);
    detail::PlacedTakeoffs takeoffs = detail::place_takeoffs(tree, name);
    problems.insert(problems.end(), takeoffs.problems.begin(), takeoffs.problems.end());
    for (Problem& problem : detail::apply(others, tree)) problems.push_back(std::move(problem));
    const bool any = !takeoffs.origins.empty();
    Scenario scenario = detail::read_tree(tree, name, std::move(takeoffs), std::move(problems));
    if (any) scenario.resolved = resolved(std::move(tree));
    return scenario;
}

Scenario read_file(const std::filesystem::path& file, const std::vector<Override>& overrides) {
    return read_text(contents(file), file.string(), overrides);
}

}  // namespace oxfade::scenario
