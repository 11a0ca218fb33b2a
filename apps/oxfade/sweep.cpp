#include "oxfade/study/sweep.hpp"

#include <algorithm>
#include <thread>
#include <utility>

#include "countdown.hpp"
#include "exit_status.hpp"
#include "output.hpp"
#include "oxfade/engine/cost.hpp"
#include "oxfade/report/study_sweep.hpp"
#include "page_run.hpp"
#include "progress.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

namespace oxfade::program {
namespace {

/// All problems of all assignments at once.
template <class Parse>
auto parse_all(const std::vector<std::string>& texts, const Parse& parse, std::vector<Problem>& problems) {
    std::vector<decltype(parse(texts.front()))> values;
    for (const std::string& text : texts) {
        try {
            values.push_back(parse(text));
        } catch (const InputError& error) {
            problems.insert(problems.end(), error.problems().begin(), error.problems().end());
        }
    }
    return values;
}

study::SweepOptions sweep_settings(const Options& options, const scenario::Scenario& scenario) {
    const plant::Plant& plant = scenario.plant;
    study::SweepOptions settings;
    std::vector<Problem> problems;
    settings.axes = parse_all(
        options.study.vary, [&](const std::string& text) { return study::parse_axis(text, plant); },
        problems);
    settings.unknowns = parse_all(
        options.study.spread, [&](const std::string& text) { return study::parse_unknown(text, plant); },
        problems);
    if (!problems.empty()) throw InputError(std::move(problems));
    settings.runs = options.study.runs;
    settings.seed = options.study.seed;
    settings.store = options.study.results;
    if (scenario.relative_tolerance) settings.relative_tolerance = *scenario.relative_tolerance;
    if (!options.study.within.empty()) {
        settings.within =
            scenario::quantity(options.study.within, scenario::Dimension::time, plant.site.pressure);
    }
    return settings;
}

study::SweepResult run(const plant::Plant& plant, study::SweepOptions settings, const Options& options) {
    const double threads = std::max(1U, std::thread::hardware_concurrency());
    announce(engine::estimated_time(plant) * static_cast<double>(study::runs_in_all(settings)) / threads,
             watcher_of(options.quiet));
    Countdown countdown(watcher_of(options.quiet));
    settings.progress = countdown.callback();
    return study::sweep(plant, settings);
}

/// Something could be computed, at every point.
bool computed(const study::SweepPoint& point) { return point.runs > 0; }

}  // namespace

int sweep(const Options& options) {
    check_outputs(options);
    const Loaded loaded = load(options);
    const plant::Plant& plant = loaded.scenario.plant;
    const study::SweepOptions settings = sweep_settings(options, loaded.scenario);
    const study::SweepResult found = run(plant, settings, options);
    Result result;
    result.text = [&] { return report::sweep_text(plant, found, loaded.units); };
    result.json = [&] { return report::sweep_json(plant, found, loaded.units); };
    result.csv = [&] { return report::sweep_csv(settings, found, loaded.units); };
    result.html = [&] {
        const report::PageRun run = page_run("as the file has it", plant, settings.relative_tolerance);
        return report::sweep_html(found, run, page_head(options, loaded.units));
    };
    deliver(result, options, loaded.units);
    const auto& points = found.points;
    if (std::none_of(points.begin(), points.end(), computed)) return failed;
    const bool met = std::all_of(points.begin(), points.end(), [](const study::SweepPoint& point) {
        return point.failed == 0 && point.met_within == point.runs && point.fills_met == point.runs;
    });
    return met ? done : not_met;
}

}  // namespace oxfade::program
