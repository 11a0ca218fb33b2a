#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "oxfade/plant/plant.hpp"
#include "oxfade/study/faults.hpp"
#include "oxfade/study/readings.hpp"

namespace oxfade::study {

/// How well the plant's data are known before any reading: standard deviations of logarithms, > 0. What the
/// readings do not tell stays as uncertain as this.
struct Tolerances {
    double vents = 0.15;           ///< of a riser's vent coefficients, all alike
    double volume = 0.10;          ///< of a riser's volume
    double leaks = 1.0;            ///< of a riser's leaks: a factor of about three
    double product_oxygen = 0.30;  ///< of the oxygen in the source's product
};

/// How to fit.
struct FitOptions {
    Tolerances tolerances;
    double confidence = 0.90;       ///< of all intervals, 0.5 to 0.999
    std::size_t draws = 200;        ///< for the forecast's band, 20 to 100 000
    std::uint64_t seed = 20240501;  ///< of those draws
    std::vector<Fault> faults;      ///< explanations to try; empty: all that are possible
    double tell_apart = 6.0;        ///< odds below which two explanations are not told apart, > 1
    double relative_tolerance = 1e-6;
    /// Called now and then with the numbers of explanations tried and of all; return false to stop with an
    /// Error.
    std::function<bool(std::size_t, std::size_t)> progress;
};

/// What a number of the fit is.
enum class Quantity { vent_coefficient, volume, leak, product_oxygen };

/// A quantity as the readings have it. Factors are of the plant's own data.
struct Estimate {
    Quantity quantity = Quantity::vent_coefficient;
    std::string riser;  ///< empty for the source
    double designed =
        0.0;  ///< vents: mean coefficient; volume [m3]; leaks: effective area [m2]; oxygen fraction
    double value = 0.0, low = 0.0, high = 0.0;  ///< in the same units
    double narrowed = 1.0;  ///< width that the readings left, as a part of the width before them
};

/// Two estimates that the readings cannot tell apart: raising one makes up for the other.
struct Confusion {
    std::size_t first = 0, second = 0;  ///< indices of estimates
    double correlation = 0.0;
};

/// One explanation of the readings: a fault, the other data within their tolerances.
struct Explanation {
    Fault fault;
    std::string words;           ///< "'North' leaks"
    std::optional<double> size;  ///< of the fault, as for with_fault; none where it has none
    double size_low = 0.0, size_high = 0.0;
    double misfit = 0.0;        ///< sum of squares of readings and data off, in standard deviations
    double criterion = 0.0;     ///< misfit plus what a fault costs, see `fit`; the least explains best
    double odds_against = 1.0;  ///< how much likelier the best explanation is
    std::string failure;        ///< why it could not be tried; empty otherwise
};

/// When a riser will be on target, if the best explanation is right.
struct Forecast {
    std::string riser;
    /// [s] from the start of the run; none: not within the run. Without `high` the band is open there, and
    /// `low` leaves out as much as both ends do otherwise.
    std::optional<double> low, middle, high;
    double reached = 0.0;  ///< share of draws that reach the target within the run
};

/// What readings say of a plant.
struct Fit {
    std::vector<Explanation> explanations;  ///< best first
    /// How many of them, from the best on, the readings do not tell apart.
    std::size_t not_told_apart = 1;
    std::vector<Estimate> estimates;    ///< under the best explanation
    std::vector<Confusion> confusions;  ///< correlation above 0.8
    std::vector<Forecast> forecasts;    ///< of every riser
    std::size_t readings = 0;           ///< numbers read
    double worst_residual = 0.0;        ///< of the best explanation, in standard uncertainties
    double confidence = 0.9;
    plant::Plant found;  ///< the plant under the best explanation
};

/// What readings say of a plant: which fault explains them best, what its data then are, and when the target
/// will be met. Levenberg-Marquardt over the engine's runs, data held by their tolerances; intervals from the
/// Jacobian at the solution; odds from the Bayesian information criterion (Schwarz, Ann. Statist. 6, 1978) in
/// its form for a choice among many (Chen and Chen, Biometrika 95, 2008, gamma 1): with n numbers read and m
/// faults to choose from, a fault costs ln n + 2 ln m. Pressure readings of a riser that swings between
/// switch points by design are held against the range of a day. Throws InputError for impossible readings or
/// options.
Fit fit(const plant::Plant& plant, const std::vector<Reading>& readings, const FitOptions& options = {});

/// Faults that a plant could have, `none` first: what `fit` tries.
std::vector<Fault> possible_faults(const plant::Plant& plant, const std::vector<Reading>& readings);

}  // namespace oxfade::study
