#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "oxfade/outcome/outcome.hpp"
#include "oxfade/plant/plant.hpp"
#include "oxfade/report/units.hpp"

namespace oxfade::study {
struct Comparison;
struct Fit;
struct Reading;
struct Review;
struct SweepResult;
}  // namespace oxfade::study

/// Results as one HTML file that needs nothing else: data, script and style are in it, and its content policy
/// forbids it to fetch anything. It opens in a browser, from a mail too, and prints.
namespace oxfade::report {

/// A run to be drawn. Its history may have as many rows as `page_rows` says; the page keeps those that show
/// how the curves go.
struct PageRun {
    std::string label;  ///< what the reader picks it by, where a page has several
    plant::Plant plant;
    outcome::Outcome outcome;
};

/// How a page is headed.
struct PageHead {
    std::string file;  ///< what the plant was read from
    Units units;       ///< the reader's; the page turns to the other system at a click
    bool friction_resolved = false;
};

/// Rows of history (engine::Options::history_points) that are of use to a page: close enough for fills, few
/// enough for large plants.
std::size_t page_rows(const plant::Plant& plant);

/// A prediction: `run.outcome` is what the plant gave.
std::string predict_html(const PageRun& run, const PageHead& head);

/// Strategies side by side; `runs` are those of the candidates, in their order.
std::string compare_html(const study::Comparison& comparison, const std::vector<PageRun>& runs,
                         const PageHead& head);

/// A sweep, with the run of the plant as its file has it.
std::string sweep_html(const study::SweepResult& result, const PageRun& run, const PageHead& head);

/// Readings held against the plant as designed (`designed`) and as the best explanation has it (`found`).
std::string fit_html(const study::Fit& fit, const std::vector<study::Reading>& readings,
                     const PageRun& designed, const PageRun& found, const PageHead& head);

/// The acceptance sheet, filled in or not; `runs` are the plant as designed and, once something is measured,
/// as found.
std::string commission_html(const study::Review& review, const std::vector<PageRun>& runs,
                            const PageHead& head);

}  // namespace oxfade::report
