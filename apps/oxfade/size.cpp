#include "oxfade/study/size.hpp"

#include <algorithm>
#include <utility>

#include "exit_status.hpp"
#include "output.hpp"
#include "oxfade/report/study_size.hpp"
#include "verbs.hpp"

namespace oxfade::program {
namespace {

/// Quantities parted by commas. What is wrong goes to `problems`.
std::vector<double> list_of(const std::string& text, const char* key, scenario::Dimension dimension,
                            const plant::Site& site, std::vector<Problem>& problems) {
    std::vector<double> values;
    for (std::size_t begin = 0; !text.empty() && begin <= text.size();) {
        const std::size_t end = std::min(text.find(',', begin), text.size());
        try {
            values.push_back(scenario::quantity(text.substr(begin, end - begin), dimension, site.pressure,
                                                site.reference));
        } catch (const InputError& error) {
            for (Problem problem : error.problems()) {
                problem.key = key;
                problems.push_back(std::move(problem));
            }
        }
        begin = end + 1;
    }
    return values;
}

study::SizeOptions settings_of(const Options& options, const scenario::Scenario& scenario) {
    using scenario::Dimension;
    const plant::Site& air = scenario.plant.site;
    const StudyOptions& typed = options.study;
    study::SizeOptions settings;
    std::vector<Problem> problems;
    settings.drills = list_of(typed.drills, "--drills", Dimension::length, air, problems);
    settings.flows = list_of(typed.flows, "--flows", Dimension::volume_flow, air, problems);
    const auto by = list_of(typed.by, "--by", Dimension::time, air, problems);
    const auto margin = list_of(typed.margin, "--margin", Dimension::fraction, air, problems);
    if (!problems.empty()) throw InputError(std::move(problems));
    if (!by.empty()) settings.by = by.front();
    if (!margin.empty()) settings.margin = margin.front();
    if (scenario.relative_tolerance) settings.relative_tolerance = *scenario.relative_tolerance;
    return settings;
}

}  // namespace

int size(const Options& options) {
    check_outputs(options);
    const Loaded loaded = load(options);
    const plant::Plant& plant = loaded.scenario.plant;
    const study::SizeOptions settings = settings_of(options, loaded.scenario);
    const study::SizeResult found = study::size(plant, settings);
    Result result;
    result.text = [&] { return report::size_text(plant, found, settings.margin, loaded.units); };
    result.json = [&] { return report::size_json(plant, found, settings.margin); };
    result.csv = [&] { return report::size_csv(plant, found); };
    deliver(result, options, loaded.units);
    return found.design ? done : not_met;
}

}  // namespace oxfade::program
