#pragma once

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "oxfade/plant/plant.hpp"
#include "oxfade/scenario/quantity.hpp"

namespace oxfade::study {

/// Acceptance steps, in the order in which they are done.
enum class StepKind {
    charge,  ///< receiver from the air's pressure to `stop`, on air: a time
    rise,    ///< receiver from `start` to `stop`, on nitrogen: a time
    purity,  ///< at the source
    fill,    ///< of a riser, in turn: a time
    hold,    ///< pressure that a riser loses in the usual air test
    oxygen,  ///< at a vent, some days after the start
};
std::string_view step_name(StepKind kind);  ///< "charge" and so on

/// One line of the sheet.
struct Step {
    StepKind kind = StepKind::charge;
    std::string riser;  ///< empty for the source
    std::string vent;   ///< of an oxygen reading
    double time = 0.0;  ///< of an oxygen reading [s] from the start of the first fill
    double expected = 0.0, low = 0.0, high = 0.0;  ///< SI; within low and high all is well
    std::optional<double> measured;

    scenario::Dimension dimension() const;
};

/// When oxygen is to be read, and how far measured values may be off.
struct SheetOptions {
    std::vector<double> oxygen_times{43200.0, 86400.0, 172800.0, 259200.0};  ///< [s], > 0
    double time_band = 0.15;          ///< part by which a charge, rise or fill time may be off, 0 to 1
    double purity_band = 0.01;        ///< purity may be off by this, 0 to 1
    double loss_band = 3447.3786466;  ///< loss in the hold above what is expected [Pa]: half a psi
    double oxygen_band = 0.005;       ///< oxygen may be off by this and a tenth of its value
    double relative_tolerance = 1e-6;
    /// Called now and then within each run with the simulated time [s]; return false to stop with an Error.
    std::function<bool(double)> progress{};
};

/// What an installer is to see at each step, if all is as designed. Fills start with the receiver as the
/// plant has it. Steps that a source does not have are left out: cylinders have no receiver, a compressor no
/// purity. Oxygen is asked for within the plant's duration. Throws InputError for an impossible plant or
/// options.
std::vector<Step> commissioning_sheet(const plant::Plant& plant, const SheetOptions& options = {});

/// Takes measured values from a filled-in sheet: a CSV with the columns step, riser, vent, time, measured
/// (others of the printed sheet are passed over). Lines without a measured value stay open. Throws InputError
/// for lines that are not of this sheet, or values that are not of their kind.
void enter_measured(std::vector<Step>& sheet, std::string_view csv, const std::string& file,
                    const plant::Plant& plant);

/// The likely cause of what is off.
enum class Cause {
    compressor_weak,    ///< size: share of the rated flow, on air and nitrogen alike
    air_flow_off,       ///< size: share of the rated air flow; nitrogen is well
    separator_off,      ///< size: share of the rated nitrogen flow; the air flow is well
    purity_off,         ///< size: purity found
    fill_explained,     ///< a fill is off just as the causes before it say
    fill_slow,          ///< size: share left of the fill passage; or other: volume, in parts of that given
    fill_fast,          ///< other: volume, in parts of that given
    leak,               ///< size: effective area [m2]; other: part of the loss allowed in the test
    vent_restricted,    ///< size: share of the area that passes gas
    vent_large,         ///< size: the same, above one
    oxygen_unexplained  ///< no size of the vent explains the readings
};

/// A cause, and the step that shows it.
struct Verdict {
    Cause cause = Cause::compressor_weak;
    std::string riser, vent;
    double size = 0.0;
    std::optional<double> other;
};

/// What measured values say of a plant.
struct Review {
    std::vector<Step> steps;
    std::vector<bool> within;       ///< one a step; true where nothing was measured
    std::size_t measured = 0;       ///< steps with a value
    std::vector<Verdict> verdicts;  ///< empty when all is well
    plant::Plant found;             ///< the plant with all causes in it
};

/// Judges what was measured. Each step is held against the plant as the steps before it found it, so that one
/// cause is not named twice.
Review review(const plant::Plant& plant, const std::vector<Step>& sheet, const SheetOptions& options = {});

}  // namespace oxfade::study
