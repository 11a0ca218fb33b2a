#include "oxfade/study/fit.hpp"

#include "countdown.hpp"
#include "exit_status.hpp"
#include "input_file.hpp"
#include "output.hpp"
#include "oxfade/report/study_fit.hpp"
#include "page_run.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

namespace oxfade::program {
namespace {

study::Fit run(const plant::Plant& plant, const std::vector<study::Reading>& readings,
               const scenario::Scenario& scenario, const Options& options) {
    Countdown countdown(watcher_of(options.quiet));
    study::FitOptions settings;
    settings.seed = options.study.seed;
    settings.progress = countdown.callback();
    if (scenario.relative_tolerance) settings.relative_tolerance = *scenario.relative_tolerance;
    return study::fit(plant, readings, settings);
}

}  // namespace

int fit(const Options& options) {
    check_outputs(options);
    const Loaded loaded = load(options);
    const plant::Plant& plant = loaded.scenario.plant;
    const std::string& file = options.study.readings;
    const auto readings = study::parse_readings(read_input(file), file, plant);
    const study::Fit found = run(plant, readings, loaded.scenario, options);
    Result result;
    result.text = [&] { return report::fit_text(plant, found, loaded.units); };
    result.json = [&] { return report::fit_json(plant, found); };
    result.html = [&] {
        const double tolerance =
            loaded.scenario.relative_tolerance.value_or(study::FitOptions{}.relative_tolerance);
        return report::fit_html(found, readings, page_run("as designed", plant, tolerance),
                                page_run("as found", found.found, tolerance),
                                page_head(options, loaded.units));
    };
    deliver(result, options, loaded.units);
    const bool sound = found.explanations.front().fault.kind == study::FaultKind::none;
    return sound ? done : not_met;
}

}  // namespace oxfade::program
