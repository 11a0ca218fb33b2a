#include "options.hpp"

#include <cstddef>
#include <optional>

#include "oxfade/error.hpp"
#include "oxfade/report/files.hpp"

namespace oxfade::program {
namespace {

std::optional<std::size_t> equals_outside_quotes(const std::string& text) {
    char quote = '\0';
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        if (quote != '\0') {
            if (c == quote) quote = '\0';
        } else if (c == '\'' || c == '"') {
            quote = c;
        } else if (c == '=') {
            return i;
        }
    }
    return std::nullopt;
}

std::string trimmed(const std::string& text) {
    const std::size_t first = text.find_first_not_of(" \t");
    if (first == std::string::npos) return {};
    return text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

Problem usage_problem(std::string key, std::string value, std::string what, std::string allowed) {
    return {std::move(key), std::move(value), std::move(what), std::move(allowed), {}, 0};
}

report::System system_of(const Options& options, const scenario::Scenario& scenario) {
    if (options.units == "si") return report::System::si;
    if (options.units == "us") return report::System::us;
    return scenario.units == scenario::UnitSystem::si ? report::System::si : report::System::us;
}

}  // namespace

void add_options(CLI::App& verb, Options& options, bool series) {
    CLI::IsMember systems({"si", "us"}, CLI::ignore_case);
    systems.description("");
    verb.add_option("FILE", options.file, "Scenario file (TOML)")->required()->type_name("");
    verb.add_option("--json", options.json, "Write the results as JSON, SI units")->type_name("PATH");
    if (series) verb.add_option("--csv", options.csv, "Write the time series as CSV")->type_name("PATH");
    verb.add_option("--set", options.sets, "Override a key of the file; repeatable")
        ->type_name("KEY=VALUE")
        ->allow_extra_args(false);
    verb.add_option("--units", options.units, "Units to print (default: the file's)")
        ->transform(systems)
        ->type_name("si|us");
    verb.add_flag("--quiet", options.quiet, "Print nothing but errors; files are written");
}

std::vector<scenario::Override> overrides_of(const Options& options) {
    std::vector<scenario::Override> overrides;
    std::vector<Problem> problems;
    for (const std::string& text : options.sets) {
        const std::optional<std::size_t> equals = equals_outside_quotes(text);
        if (!equals || trimmed(text.substr(0, *equals)).empty()) {
            problems.push_back(usage_problem("--set", text, "a key and a value are wanted",
                                             "write KEY=VALUE, for example target=\"98 %\""));
            continue;
        }
        overrides.push_back({trimmed(text.substr(0, *equals)), trimmed(text.substr(*equals + 1))});
    }
    if (!problems.empty()) throw InputError(std::move(problems));
    return overrides;
}

void check_outputs(const Options& options) {
    if (options.json == "-" && options.csv == "-") {
        throw InputError({usage_problem("--csv", "-", "standard output cannot carry JSON and CSV at once",
                                        "give one of them a file")});
    }
    for (const std::string& path : {options.json, options.csv}) {
        if (!path.empty() && path != "-") report::require_replaceable(path);
    }
}

Loaded load(const Options& options) {
    scenario::Scenario scenario = scenario::read_file(options.file, overrides_of(options));
    const report::Units units = report::units_of(scenario.plant, system_of(options, scenario));
    return {std::move(scenario), units};
}

}  // namespace oxfade::program
