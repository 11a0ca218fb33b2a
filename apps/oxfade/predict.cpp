#include "oxfade/engine/predict.hpp"
#include "countdown.hpp"
#include "exit_status.hpp"
#include "output.hpp"
#include "oxfade/engine/cost.hpp"
#include "oxfade/report/csv.hpp"
#include "oxfade/report/json.hpp"
#include "oxfade/report/text.hpp"
#include "oxfade/study/remedies.hpp"
#include "page_run.hpp"
#include "progress.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

namespace oxfade::program {
namespace {

outcome::Outcome run(const scenario::Scenario& scenario, const Options& options) {
    Progress progress(scenario.plant.duration, watcher_of(options.quiet));
    if (!options.friction) announce(engine::estimated_time(scenario.plant), watcher_of(options.quiet));
    engine::Options settings;
    settings.progress = progress.callback();
    settings.resolve_friction = options.friction;
    settings.vary = !options.skip_extras;
    if (scenario.refinement) settings.refinement = *scenario.refinement;
    if (scenario.relative_tolerance) settings.relative_tolerance = *scenario.relative_tolerance;
    return engine::predict(scenario.plant, settings);
}

/// What would help where the target is missed.
void add_remedies(outcome::Outcome& outcome, const scenario::Scenario& scenario, const Options& options) {
    if (!options.remedies || outcome.all_met()) return;
    Countdown countdown(watcher_of(options.quiet));
    study::RemedyOptions settings;
    settings.progress = countdown.callback();
    if (scenario.relative_tolerance) settings.relative_tolerance = *scenario.relative_tolerance;
    outcome.remedies = study::remedies(scenario.plant, outcome, settings);
}

}  // namespace

int predict(const Options& options) {
    check_outputs(options);
    const auto [scenario, units] = load(options);
    outcome::Outcome outcome = run(scenario, options);
    add_remedies(outcome, scenario, options);
    Result result;
    result.text = [&, &plant = scenario.plant, &style = units] {
        return report::to_text(plant, outcome, style);
    };
    result.json = [&, &plant = scenario.plant, &style = units] {
        return report::to_json(outcome, style, plant.assumed);
    };
    result.csv = [&] { return report::to_csv(outcome); };
    result.html = [&, &read = scenario, &style = units] {
        const plant::Plant& plant = read.plant;
        const double tolerance = read.relative_tolerance.value_or(engine::Options{}.relative_tolerance);
        report::PageRun run{"", plant, outcome};
        run.outcome.history = page_run("", plant, tolerance, options.friction).outcome.history;
        return report::predict_html(run, page_head(options, style));
    };
    result.messages = outcome.messages;
    deliver(result, options, units);
    return outcome.all_met() ? done : not_met;
}

}  // namespace oxfade::program
