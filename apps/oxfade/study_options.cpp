#include "study_options.hpp"

#include <CLI/CLI.hpp>

#include "options.hpp"

namespace oxfade::program {

void add_compare_options(CLI::App& verb, Options& options) {
    verb.add_option("FILES", options.study.more_files, "Scenario files to compare it with")
        ->required()
        ->type_name("");
}

void add_sweep_options(CLI::App& verb, Options& options) {
    StudyOptions& study = options.study;
    verb.add_option("--vary", study.vary, "Values from a to b, n of them; repeatable")
        ->type_name("KEY=a..b:n")
        ->allow_extra_args(false);
    verb.add_option("--spread", study.spread,
                    "A spread: normal(mean, deviation), uniform(low, high) or "
                    "triangular(low, mode, high); repeatable")
        ->type_name("KEY=SPREAD")
        ->allow_extra_args(false);
    verb.add_option("--runs", study.runs, "Runs with a spread (default: 1000)")->type_name("N");
    verb.add_option("--seed", study.seed, "Seed of the draws (default: always the same)")->type_name("N");
    verb.add_option("--within", study.within, "Wanted time to target (default: the file's duration)")
        ->type_name("TIME");
    verb.add_option("--results", study.results,
                    "Keep finished runs in this file; the same command takes them up again")
        ->type_name("PATH");
}

void add_size_options(CLI::App& verb, Options& options) {
    StudyOptions& study = options.study;
    verb.add_option("--drills", study.drills, "Vent diameters to choose from: \"0.4 mm, 0.5 mm\"")
        ->required()
        ->type_name("LIST");
    verb.add_option("--flows", study.flows,
                    "Nitrogen flows of sources to choose from (default: from a sixteenth to four times the "
                    "file's)")
        ->type_name("LIST");
    verb.add_option("--by", study.by, "Deadline for all systems (default: the file's duration)")
        ->type_name("TIME");
    verb.add_option("--margin", study.margin, "Safety margin on every limit (default: 10 %)")
        ->type_name("PERCENT");
}

void add_fit_options(CLI::App& verb, Options& options) {
    verb.add_option("READINGS", options.study.readings,
                    "CSV with the columns time, riser, pipe, oxygen, pressure and, if known, "
                    "oxygen_uncertainty, pressure_uncertainty; values with units")
        ->required()
        ->type_name("");
    verb.add_option("--seed", options.study.seed, "Seed of the forecast's draws (default: always the same)")
        ->type_name("N");
}

void add_commission_options(CLI::App& verb, Options& options) {
    verb.add_option("--measured", options.study.measured, "The sheet with its last column filled in")
        ->type_name("PATH");
}

}  // namespace oxfade::program
