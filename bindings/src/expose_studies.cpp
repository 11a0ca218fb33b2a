#include <array>
#include <atomic>
#include <tuple>
#include <utility>

#include "convert.hpp"
#include "expose.hpp"
#include "oxfade/outcome/duty.hpp"
#include "oxfade/outcome/findings.hpp"
#include "oxfade/report/study_commission.hpp"
#include "oxfade/report/study_compare.hpp"
#include "oxfade/report/study_fit.hpp"
#include "oxfade/report/study_size.hpp"
#include "oxfade/report/survey.hpp"
#include "oxfade/study/fit.hpp"
#include "run_options.hpp"
#include "run_study.hpp"

/// Studies as the program's texts and JSON documents: oxfade.studies makes objects of them, so that the
/// numbers are the program's.
namespace oxfade::python {
namespace {

py::dict check(const Model& model) {
    const report::Survey survey{outcome::duty_of(model.plant), outcome::findings_before(model.plant),
                                study::checkup(model.plant)};
    return study_texts(
        model, [&](const auto& units) { return report::survey_text(model.plant, survey, units); },
        [&](const auto& units) { return report::survey_json(model.plant, survey, units); });
}

py::dict compare(const std::vector<std::string>& names, const std::vector<Model>& models,
                 std::optional<double> relative_tolerance, const py::object& progress) {
    std::vector<study::Candidate> candidates;
    for (std::size_t k = 0; k < models.size(); ++k) {
        const double tolerance = run_options(models[k], relative_tolerance).relative_tolerance;
        candidates.push_back({names.at(k), models[k].plant, tolerance});
    }
    const auto found =
        run_study(progress, [&](const StudyProgress& heed) { return study::compare(candidates, {heed}); });
    return study_texts(
        models.front(), [&](const auto& units) { return report::compare_text(found, units); },
        [&](const auto& units) { return report::compare_json(found, units); });
}

struct SizeWishes {
    std::vector<double> drills, flows, deadlines;
    std::optional<double> by;
    double margin = 0.0;
};

py::dict size(const Model& model, const SizeWishes& wishes, std::optional<double> relative_tolerance,
              const py::object& progress) {
    study::SizeOptions options;
    options.drills = wishes.drills;
    options.flows = wishes.flows;
    options.deadlines = wishes.deadlines;
    options.by = wishes.by;
    options.margin = wishes.margin;
    options.relative_tolerance = run_options(model, relative_tolerance).relative_tolerance;
    const auto found = run_study(progress, [&](const StudyProgress& heed) {
        options.progress = [&](std::size_t runs) { return heed(runs, 0); };
        return study::size(model.plant, options);
    });
    py::dict raw = study_texts(
        model,
        [&](const auto& units) { return report::size_text(model.plant, found, options.margin, units); },
        [&](const auto&) { return report::size_json(model.plant, found, options.margin); });
    raw["plant"] = py::none();
    if (found.design) {
        Model sized = model;
        sized.plant = study::sized_plant(model.plant, found.design->nitrogen_flow, found.design->drills);
        sized.origin.reset();
        raw["plant"] = py::cast(sized);
    }
    return raw;
}

py::dict fit(const Model& model, const std::vector<study::Reading>& readings, double confidence,
             std::size_t draws, std::uint64_t seed, const study::Tolerances& tolerances,
             std::optional<double> relative_tolerance, const py::object& progress) {
    study::FitOptions options;
    options.confidence = confidence;
    options.draws = draws;
    options.seed = seed;
    options.tolerances = tolerances;
    options.relative_tolerance = run_options(model, relative_tolerance).relative_tolerance;
    const auto found = run_study(progress, [&](const StudyProgress& heed) {
        options.progress = heed;
        return study::fit(model.plant, readings, options);
    });
    return study_texts(
        model, [&](const auto& units) { return report::fit_text(model.plant, found, units); },
        [&](const auto&) { return report::fit_json(model.plant, found); });
}

py::dict commission(const Model& model, const study::SheetOptions& given,
                    std::optional<double> relative_tolerance, const std::optional<std::string>& measured,
                    const std::string& file) {
    study::SheetOptions options = given;
    options.relative_tolerance = run_options(model, relative_tolerance).relative_tolerance;
    std::vector<study::Step> sheet;
    std::atomic<bool> stop{false};
    options.progress = [&stop](double) { return !stop.load(); };
    const auto judge = [&] {
        sheet = study::commissioning_sheet(model.plant, options);
        if (measured) study::enter_measured(sheet, *measured, file, model.plant);
        return study::review(model.plant, sheet, options);
    };
    const study::Review review = run_interruptibly(judge, stop, [] {});
    const auto text = [&](const auto& units) {
        return measured ? report::review_text(model.plant, review, units)
                        : report::sheet_text(model.plant, sheet, units);
    };
    py::dict raw = study_texts(
        model, text, [&](const auto& units) { return report::review_json(model.plant, review, units); });
    py::dict sheets;
    for (const char* system : {"si", "us"})
        sheets[system] = report::sheet_csv(sheet, report_units(model, std::string(system)));
    raw["sheets"] = sheets;
    Model as_found = model;
    as_found.plant = review.found;
    as_found.origin.reset();
    raw["found"] = py::cast(as_found);
    return raw;
}

/// The rows of a readings' CSV, and readings given one by one: (time, riser, pipe, oxygen, pressure, and the
/// uncertainties of both), None for what is not known.
using Row = std::tuple<double, std::string, std::string, std::optional<double>, std::optional<double>,
                       std::optional<double>, std::optional<double>>;

std::vector<study::Reading> readings_of(const std::vector<Row>& rows) {
    std::vector<study::Reading> readings;
    for (const auto& [time, riser, pipe, oxygen, pressure, of_oxygen, of_pressure] : rows) {
        study::Reading reading;
        reading.time = time;
        reading.riser = riser;
        reading.pipe = pipe;
        reading.oxygen = oxygen;
        reading.pressure = pressure;
        if (of_oxygen) reading.oxygen_uncertainty = *of_oxygen;
        if (of_pressure) reading.pressure_uncertainty = *of_pressure;
        readings.push_back(std::move(reading));
    }
    return readings;
}

}  // namespace

void expose_studies(py::module_& module) {
    module.def("_check", &check, "Texts of a check; see oxfade.check.");
    module.def("_compare", &compare, "Texts of a comparison; see oxfade.compare.");
    module.def(
        "_size",
        [](const Model& model, std::vector<double> drills, std::vector<double> flows,
           std::vector<double> deadlines, std::optional<double> by, double margin,
           std::optional<double> relative_tolerance, const py::object& progress) {
            return size(model, {std::move(drills), std::move(flows), std::move(deadlines), by, margin},
                        relative_tolerance, progress);
        },
        "Texts of a sizing, and the plant sized; see oxfade.size.");
    module.def(
        "_fit",
        [](const Model& model, const std::vector<Row>& rows, double confidence, std::size_t draws,
           std::uint64_t seed, const std::array<double, 4>& tolerances,
           std::optional<double> relative_tolerance, const py::object& progress) {
            const auto& [vents, volume, leaks, oxygen] = tolerances;
            return fit(model, readings_of(rows), confidence, draws, seed, {vents, volume, leaks, oxygen},
                       relative_tolerance, progress);
        },
        "Texts of a fit; see oxfade.fit.");
    module.def(
        "_readings",
        [](const Model& model, const std::string& csv, const std::string& file) {
            std::vector<Row> rows;
            for (const study::Reading& r : study::parse_readings(csv, file, model.plant))
                rows.emplace_back(r.time, r.riser, r.pipe, r.oxygen, r.pressure, r.oxygen_uncertainty,
                                  r.pressure_uncertainty);
            return rows;
        },
        "The rows of a CSV of readings; see oxfade.fit.");
    module.def(
        "_commission",
        [](const Model& model, std::vector<double> oxygen_times, const std::array<double, 4>& bands,
           std::optional<double> relative_tolerance, const std::optional<std::string>& measured,
           const std::string& file) {
            const auto& [time, purity, loss, oxygen] = bands;
            return commission(model, {std::move(oxygen_times), time, purity, loss, oxygen, 0.0, {}},
                              relative_tolerance, measured, file);
        },
        "Texts of a commissioning sheet, and the plant as found; see oxfade.commission.");
}

}  // namespace oxfade::python
