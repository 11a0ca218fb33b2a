#include <algorithm>

#include "exit_status.hpp"
#include "output.hpp"
#include "oxfade/outcome/findings.hpp"
#include "oxfade/report/survey.hpp"
#include "verbs.hpp"

namespace oxfade::program {

int check(const Options& options) {
    check_outputs(options);
    const Loaded loaded = load(options);
    const plant::Plant& plant = loaded.scenario.plant;
    const report::Survey survey{outcome::duty_of(plant), outcome::findings_before(plant),
                                study::checkup(plant)};
    const std::vector<outcome::Message>& findings = survey.findings;
    Result result;
    result.text = [&] { return report::survey_text(plant, survey, loaded.units); };
    result.json = [&] { return report::survey_json(plant, survey, loaded.units); };
    result.messages = findings;
    deliver(result, options, loaded.units);
    const bool failure = std::any_of(findings.begin(), findings.end(), [](const outcome::Message& finding) {
        return finding.level == outcome::Level::failure;
    });
    return failure ? not_met : done;
}

}  // namespace oxfade::program
