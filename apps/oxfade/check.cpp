#include <algorithm>

#include "exit_status.hpp"
#include "output.hpp"
#include "oxfade/report/survey.hpp"
#include "verbs.hpp"

namespace oxfade::program {

int check(const Options& options) {
    check_outputs(options);
    const Loaded loaded = load(options);
    const plant::Plant& plant = loaded.scenario.plant;
    plant::require_valid(plant);
    const std::vector<outcome::Message> findings;
    Result result;
    result.text = [&] { return report::survey_text(plant, findings, loaded.units); };
    result.json = [&] { return report::survey_json(plant, findings, loaded.units); };
    result.messages = findings;
    deliver(result, options, loaded.units);
    const bool failure = std::any_of(findings.begin(), findings.end(), [](const outcome::Message& finding) {
        return finding.level == outcome::Level::failure;
    });
    return failure ? not_met : done;
}

}  // namespace oxfade::program
