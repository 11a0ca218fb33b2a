#include "study_options.hpp"

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

}  // namespace oxfade::program
