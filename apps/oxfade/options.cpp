#include "options.hpp"

#include <CLI/CLI.hpp>
#include <utility>

#include "errors.hpp"
#include "oxfade/error.hpp"
#include "oxfade/report/files.hpp"

namespace oxfade::program {
namespace {

report::System system_of(const Options& options, const scenario::Scenario& scenario) {
    if (options.units == "si") return report::System::si;
    if (options.units == "us") return report::System::us;
    return scenario.units == scenario::UnitSystem::si ? report::System::si : report::System::us;
}

}  // namespace

void add_units(CLI::App& verb, Options& options, const std::string& purpose) {
    CLI::IsMember systems({"si", "us"}, CLI::ignore_case);
    systems.description("");
    verb.add_option("--units", options.units, purpose)->transform(systems)->type_name("si|us");
}

void add_options(CLI::App& verb, Options& options, const char* csv, bool html) {
    verb.add_option("FILE", options.file, "Scenario file (TOML)")->required()->type_name("");
    verb.add_option("--json", options.json, "Write the results as JSON, SI units")->type_name("PATH");
    if (csv != nullptr) verb.add_option("--csv", options.csv, csv)->type_name("PATH");
    if (html) {
        verb.add_option("--html", options.html, "Write a report for the browser, one file in all")
            ->type_name("PATH");
    }
    verb.add_option("--set", options.sets, "Override a key of the file; repeatable")
        ->type_name("KEY=VALUE")
        ->allow_extra_args(false);
    add_units(verb, options, "Units to print (default: the file's)");
    verb.add_flag("--quiet", options.quiet, "Print nothing but errors; files are written");
}

void add_predict_options(CLI::App& verb, Options& options) {
    verb.add_flag("--friction", options.friction, "Resolve pipe friction (slower)");
    verb.add_flag("--remedies", options.remedies,
                  "Compute what would help where the target is missed (slower)");
    verb.add_flag("--skip-extras", options.skip_extras, "Skip the runs for what nobody knows exactly");
}

std::vector<scenario::Override> overrides_of(const Options& options) {
    std::vector<scenario::Override> overrides;
    std::vector<Problem> problems;
    for (const std::string& text : options.sets) {
        try {
            overrides.push_back(scenario::parse_override(text));
        } catch (const InputError& error) {
            problems.insert(problems.end(), error.problems().begin(), error.problems().end());
        }
    }
    if (!problems.empty()) throw InputError(std::move(problems));
    return overrides;
}

void check_outputs(const Options& options) {
    std::string first;
    for (const auto& [name, path] : {std::pair<const char*, const std::string&>{"JSON", options.json},
                                     {"CSV", options.csv},
                                     {"HTML", options.html}}) {
        if (path != "-") continue;
        if (!first.empty()) {
            throw InputError({Problem{name == std::string("CSV") ? "--csv" : "--html",
                                      "-",
                                      "standard output cannot carry " + first + " and " + name + " at once",
                                      "give one of them a file",
                                      {},
                                      0}});
        }
        first = name;
    }
    for (const std::string& path : {options.json, options.csv, options.html}) {
        if (!path.empty() && path != "-") report::require_replaceable(path);
    }
}

Loaded load(const Options& options) {
    scenario::Scenario scenario = scenario::read_file(options.file, overrides_of(options));
    if (!options.quiet) print_hints(scenario.hints);
    const report::Units units = report::units_of(scenario.plant, system_of(options, scenario));
    return {std::move(scenario), units};
}

}  // namespace oxfade::program
