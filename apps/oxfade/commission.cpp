#include "oxfade/study/commission.hpp"

#include "exit_status.hpp"
#include "input_file.hpp"
#include "output.hpp"
#include "oxfade/report/study_commission.hpp"
#include "page_run.hpp"
#include "verbs.hpp"

namespace oxfade::program {

int commission(const Options& options) {
    check_outputs(options);
    const Loaded loaded = load(options);
    const plant::Plant& plant = loaded.scenario.plant;
    study::SheetOptions settings;
    if (loaded.scenario.relative_tolerance) settings.relative_tolerance = *loaded.scenario.relative_tolerance;
    std::vector<study::Step> sheet = study::commissioning_sheet(plant, settings);
    const std::string& file = options.study.measured;
    if (!file.empty()) study::enter_measured(sheet, read_input(file), file, plant);
    const study::Review review = study::review(plant, sheet, settings);
    Result result;
    result.text = [&] {
        return file.empty() ? report::sheet_text(plant, sheet, loaded.units)
                            : report::review_text(plant, review, loaded.units);
    };
    result.json = [&] { return report::review_json(plant, review, loaded.units); };
    result.csv = [&] { return report::sheet_csv(sheet, loaded.units); };
    result.html = [&] {
        std::vector<report::PageRun> runs{page_run("as designed", plant, settings.relative_tolerance)};
        if (!review.verdicts.empty())
            runs.push_back(page_run("as found", review.found, settings.relative_tolerance));
        return report::commission_html(review, runs, page_head(options, loaded.units));
    };
    deliver(result, options, loaded.units);
    return review.verdicts.empty() ? done : not_met;
}

}  // namespace oxfade::program
