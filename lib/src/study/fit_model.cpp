#include "study/fit_model.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "oxfade/engine/predict.hpp"
#include "oxfade/gas/mixture.hpp"
#include "oxfade/outcome/duty.hpp"

namespace oxfade::study::detail {
namespace {

constexpr double size_tolerance = 10.0;  ///< a fault's size is held this loosely, in its own unknown
constexpr double farthest = 8.0;         ///< tolerances that data may be off
constexpr double half_a_day = 43200.0;
constexpr std::size_t history_points = 721;

std::size_t riser_index(const plant::Plant& plant, const std::string& name) {
    const auto found = std::find_if(plant.risers.begin(), plant.risers.end(),
                                    [&](const plant::Riser& riser) { return riser.name == name; });
    return static_cast<std::size_t>(found - plant.risers.begin());
}

bool swings(const plant::Riser& riser) {
    const bool cycled = std::any_of(riser.vents.begin(), riser.vents.end(), [](const plant::Vent& vent) {
        return std::holds_alternative<plant::OpenBetween>(vent.policy);
    });
    return cycled || std::holds_alternative<plant::PressureSwitch>(riser.supply);
}

/// The pressure of the range around a time that is nearest to what was read.
double nearest_in_range(const outcome::History& history, std::size_t riser, double time, double read) {
    double low = INFINITY, high = -INFINITY;
    for (std::size_t k = 0; k < history.times.size(); ++k) {
        if (std::abs(history.times[k] - time) > half_a_day) continue;
        low = std::min(low, history.pressure.at(k, riser));
        high = std::max(high, history.pressure.at(k, riser));
    }
    return std::clamp(read, low, high);
}

void scale(plant::Pipe& pipe, double factor) {
    if (auto* cylinder = std::get_if<plant::Cylinder>(&pipe.shape)) {
        cylinder->length *= factor;
    } else {
        std::get<plant::VolumeOnly>(pipe.shape).volume *= factor;
    }
}

double logit(double share) { return std::log(share / (1.0 - share)); }

/// Unknowns of shares with which what is asked for is between just met and a quarter met.
std::vector<double> shares_around(double asked, double given) {
    std::vector<double> starts;
    for (const double met : {1.05, 0.85, 0.65, 0.45, 0.25})
        starts.push_back(logit(std::clamp(met * asked / given, 1e-4, 0.98)));
    return starts;
}

/// Leaks of a riser without any, before a fault: a tenth of what the acceptance test allows.
void add_least_leak(plant::Riser& riser, const plant::Site& site) {
    const outcome::AcceptanceTest test;
    const plant::LeakByTest least{0.1 * test.loss_allowed, test.duration,
                                  site.pressure + test.gauge_pressure};
    riser.leaks.push_back({std::nullopt, least});
}

}  // namespace

FitModel::FitModel(const plant::Plant& plant, const std::vector<Reading>& readings, const FitOptions& options)
    : plant_(plant), readings_(readings), options_(options) {
    for (plant::Riser& riser : plant_.risers) {
        if (riser.leaks.empty()) add_least_leak(riser, plant_.site);
    }
    plant_ = with_leaks_as_holes(plant_);
    std::set<std::size_t> read;
    for (const Reading& reading : readings) {
        read.insert(riser_index(plant, reading.riser));
        data_ += (reading.oxygen ? 1U : 0U) + (reading.pressure ? 1U : 0U);
        last_ = std::max(last_, reading.time);
    }
    const Tolerances& given = options.tolerances;
    for (const std::size_t r : read) {
        const plant::Riser& riser = plant_.risers[r];
        if (!riser.vents.empty())
            unknowns_.push_back(
                {Quantity::vent_coefficient, r, given.vents, riser.vents[0].orifice.coefficient});
        unknowns_.push_back({Quantity::volume, r, given.volume, riser.volume()});
        unknowns_.push_back({Quantity::leak, r, given.leaks, plant::leak_area(riser, plant_.site)});
    }
    if (!std::holds_alternative<plant::Compressor>(plant_.source)) {
        unknowns_.push_back({Quantity::product_oxygen, 0, given.product_oxygen,
                             std::max(1e-5, 1.0 - plant::product_purity(plant_.source))});
    }
    const plant::Plant run = plant::lasting(plant_, last_);
    engine::Options settings;
    settings.history_points = history_points;
    designed_ = engine::predict(run, settings);
}

bool FitModel::has_size(const Fault& fault) {
    return fault.kind != FaultKind::none && fault.kind != FaultKind::closed_branch &&
           fault.kind != FaultKind::dry_low_point;
}

std::vector<double> FitModel::size_starts(const Fault& fault) const {
    // A share is tried where it begins to be felt: where what is left just covers what is asked for.
    const outcome::PlantDuty duty = outcome::duty_of(plant_);
    switch (fault.kind) {
        case FaultKind::leak:  // of the vents' area: from a tenth to three times
            return {-2.3, -1.1, 0.0, 1.1};
        case FaultKind::low_purity:  // oxygen added, of what is there
            return {-0.7, 0.5, 1.5};
        case FaultKind::blocked_vent:  // share left: 88 to 3 %
            return {2.0, 0.0, -1.5, -3.5};
        case FaultKind::small_supply:
            return shares_around(duty.risers[fault.riser].vents_average + duty.risers[fault.riser].leaks,
                                 duty.risers[fault.riser].supply_capacity);
        case FaultKind::small_source:
            if (duty.separator) return shares_around(duty.demand, *duty.separator);
            return {2.0, 0.0, -1.5};
        default:
            return {0.0};
    }
}

double FitModel::size_of(const Fault& fault, double unknown) const {
    const double x = std::clamp(unknown, -12.0, 12.0);
    if (fault.kind == FaultKind::leak) {
        const plant::Riser& riser = plant_.risers[fault.riser];
        const double vents = vent_area(riser);
        return (vents > 0.0 ? vents : plant::leak_area(riser, plant_.site)) * std::exp(std::min(x, 4.0));
    }
    if (fault.kind == FaultKind::low_purity) {
        const double oxygen = std::max(1e-5, 1.0 - plant::product_purity(plant_.source));
        return std::min(gas::dry_air()[gas::Species::oxygen], oxygen * (1.0 + std::exp(x)));
    }
    return 1.0 / (1.0 + std::exp(-x));
}

plant::Plant FitModel::plant_of(const Fault& fault, const Eigen::VectorXd& x) const {
    plant::Plant plant = plant_;
    double oxygen_factor = 1.0;
    for (std::size_t i = 0; i < unknowns_.size(); ++i) {
        const Unknown& unknown = unknowns_[i];
        const double off = std::clamp(x[static_cast<Eigen::Index>(i)], -farthest, farthest);
        const double factor = std::exp(unknown.tolerance * off);
        plant::Riser& riser = plant.risers[unknown.riser];
        switch (unknown.quantity) {
            case Quantity::vent_coefficient:
                // The area stands for the coefficient, which may not pass one.
                for (plant::Vent& vent : riser.vents) vent.orifice.diameter *= std::sqrt(factor);
                break;
            case Quantity::volume:
                for (plant::Pipe& pipe : riser.pipes) scale(pipe, factor);
                break;
            case Quantity::leak:
                for (plant::Leak& leak : riser.leaks)
                    std::get<plant::Orifice>(leak.size).diameter *= std::sqrt(factor);
                break;
            case Quantity::product_oxygen:
                oxygen_factor = factor;
                break;
        }
    }
    const double size =
        has_size(fault) ? size_of(fault, x[static_cast<Eigen::Index>(unknowns_.size())]) : 1.0;
    if (fault.kind != FaultKind::none) plant = with_fault(plant, fault, size);
    if (oxygen_factor != 1.0) {
        const double oxygen = (1.0 - plant::product_purity(plant.source)) * oxygen_factor;
        plant = with_fault(plant, {FaultKind::low_purity, 0, 0},
                           std::min(oxygen, gas::dry_air()[gas::Species::oxygen]));
    }
    return plant;
}

double FitModel::value_at(const outcome::History& history, const outcome::Series& series, std::size_t column,
                          double time) const {
    const auto after = std::upper_bound(history.times.begin(), history.times.end(), time);
    if (after == history.times.end()) return series.at(history.times.size() - 1, column);
    const auto k = static_cast<std::size_t>(after - history.times.begin());
    if (k == 0) return series.at(0, column);
    const double part = (time - history.times[k - 1]) / (history.times[k] - history.times[k - 1]);
    return series.at(k - 1, column) + part * (series.at(k, column) - series.at(k - 1, column));
}

Eigen::VectorXd FitModel::residuals(const Fault& fault, const Eigen::VectorXd& x) const {
    const plant::Plant plant = plant::lasting(plant_of(fault, x), last_);
    engine::Options settings;
    settings.history_points = history_points;
    settings.relative_tolerance = options_.relative_tolerance;
    const outcome::Outcome run = engine::predict(plant, settings);
    Eigen::VectorXd out(static_cast<Eigen::Index>(data_ + dimension(fault)));
    Eigen::Index at = 0;
    for (const Reading& reading : readings_) {
        const std::size_t r = riser_index(plant, reading.riser);
        const auto pipe = plant.risers[r].pipe_index(reading.pipe);
        if (reading.oxygen) {
            double oxygen = 0.0;
            if (pipe) {
                oxygen = value_at(run.history, run.history.oxygen, run.last_column(r, *pipe), reading.time);
            } else {  // behind water: what stood there when the riser was full
                const outcome::RiserOutcome& filled = designed_.risers[r];
                const double full = filled.fill_start.value_or(0.0) + filled.fill_time.value_or(0.0);
                const std::size_t p = *plant_.risers[r].pipe_index(reading.pipe);
                oxygen =
                    value_at(designed_.history, designed_.history.oxygen, designed_.last_column(r, p), full);
            }
            out[at++] = (oxygen - *reading.oxygen) / reading.oxygen_uncertainty;
        }
        if (reading.pressure) {
            double pressure = *reading.pressure;  // behind water nothing is said of it
            if (pipe && swings(plant.risers[r])) {
                pressure = nearest_in_range(run.history, r, reading.time, pressure);
            } else if (pipe) {
                const outcome::History& history = run.history;
                pressure = history.zone_of.empty()
                               ? value_at(history, history.pressure, r, reading.time)
                               : value_at(history, history.zone_pressure,
                                          history.zone_of[run.last_column(r, *pipe)], reading.time);
            }
            out[at++] = (pressure - *reading.pressure) / reading.pressure_uncertainty;
        }
    }
    for (std::size_t i = 0; i < dimension(fault); ++i) {
        const double own = x[static_cast<Eigen::Index>(i)];
        out[at++] = i < unknowns_.size() ? own : own / size_tolerance;
    }
    return out;
}

}  // namespace oxfade::study::detail
