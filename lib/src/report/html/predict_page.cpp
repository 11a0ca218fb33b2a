#include "oxfade/report/text.hpp"
#include "report/html/page_data.hpp"
#include "report/html/page_words.hpp"

namespace oxfade::report {

std::string predict_html(const PageRun& run, const PageHead& head) {
    detail::Json json = detail::page_json("predict", "Forecast of a nitrogen purge", {run}, head);
    json["text"] = detail::in_both(head.units, [&](const Units& units) {
        return detail::run_words(run, head.friction_resolved, units);
    });
    return detail::document(json, run.plant.title, to_text(run.plant, run.outcome, head.units));
}

}  // namespace oxfade::report
