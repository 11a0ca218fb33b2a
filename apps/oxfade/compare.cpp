#include "oxfade/study/compare.hpp"

#include <algorithm>
#include <utility>

#include "countdown.hpp"
#include "exit_status.hpp"
#include "output.hpp"
#include "oxfade/report/study_compare.hpp"
#include "page_run.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

namespace oxfade::program {
namespace {

/// The scenarios of all files; every problem of every file at once.
std::vector<study::Candidate> candidates_of(const Options& options) {
    std::vector<std::string> files{options.file};
    files.insert(files.end(), options.study.more_files.begin(), options.study.more_files.end());
    std::vector<study::Candidate> candidates;
    std::vector<Problem> problems;
    for (const std::string& file : files) {
        try {
            scenario::Scenario scenario = scenario::read_file(file, overrides_of(options));
            candidates.push_back(
                {file, std::move(scenario.plant),
                 scenario.relative_tolerance.value_or(study::Candidate{}.relative_tolerance)});
        } catch (const InputError& error) {
            problems.insert(problems.end(), error.problems().begin(), error.problems().end());
        }
    }
    if (!problems.empty()) throw InputError(std::move(problems));
    return candidates;
}

}  // namespace

int compare(const Options& options) {
    check_outputs(options);
    const std::vector<study::Candidate> candidates = candidates_of(options);
    const report::Units units = load(options).units;
    Countdown countdown(watcher_of(options.quiet));
    const study::Comparison comparison = study::compare(candidates, {countdown.callback()});
    Result result;
    result.text = [&] { return report::compare_text(comparison, units); };
    result.json = [&] { return report::compare_json(comparison, units); };
    result.html = [&] {
        std::vector<report::PageRun> runs;
        runs.reserve(candidates.size());
        for (const study::Candidate& candidate : candidates)
            runs.push_back(
                page_run(file_name(candidate.name), candidate.plant, candidate.relative_tolerance));
        return report::compare_html(comparison, runs, page_head(options, units));
    };
    deliver(result, options, units);
    const auto& strategies = comparison.strategies;
    const bool one_meets_all = std::any_of(strategies.begin(), strategies.end(),
                                           [](const study::Strategy& strategy) { return strategy.all_met; });
    return one_meets_all ? done : not_met;
}

}  // namespace oxfade::program
