#pragma once

#include <string>

#include "oxfade/report/units.hpp"
#include "oxfade/study/commission.hpp"
#include "oxfade/study/compare.hpp"
#include "oxfade/study/fit.hpp"
#include "oxfade/study/sweep.hpp"

/// Words for results of studies, shared by the text and the page.
namespace oxfade::report::detail {

// --- compare
const char* measure_label(study::Measure measure);
std::string measure_text(const study::Strategy& strategy, study::Measure measure, const Units& units);

// --- sweep
/// One value of an axis in a point of the grid, with its unit.
std::string axis_text(const plant::Plant& plant, const study::Axis& axis, double value, const Units& units);
/// "uncertain: key, 80 % of it from a to b"
std::string unknown_text(const plant::Plant& plant, const study::Unknown& unknown, const Units& units);

// --- fit
std::string fit_verdict(const study::Fit& fit);
/// What speaks against an explanation, against the first of them.
std::string odds_text(const study::Fit& fit, std::size_t explanation);
/// Size of a fault with its interval; empty where it has none.
std::string fault_size_text(const plant::Plant& plant, const study::Explanation& explanation,
                            const Units& units);
std::string estimate_label(const study::Estimate& estimate);
std::string estimate_text(const plant::Plant& plant, const study::Estimate& estimate, double value,
                          const Units& units);
std::string confusion_text(const study::Fit& fit, const study::Confusion& confusion);
std::string forecast_text(const plant::Plant& plant, const study::Fit& fit, const study::Forecast& forecast);

// --- commission
std::string commission_verdict(const study::Review& review);
const char* step_heading(study::StepKind kind);
std::string step_label(const study::Step& step);
/// What to do, said once for each kind of step.
std::string step_instruction(const plant::Plant& plant, study::StepKind kind, const Units& units);
std::string verdict_text(const plant::Plant& plant, const study::Verdict& verdict, const Units& units);

}  // namespace oxfade::report::detail
