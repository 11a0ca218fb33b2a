#include "oxfade/study/fit.hpp"

#include <fmt/format.h>

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <limits>
#include <set>
#include <utility>

#include "oxfade/engine/ensemble.hpp"
#include "oxfade/study/sobol.hpp"
#include "study/fit_solver.hpp"
#include "study/quantiles.hpp"

namespace oxfade::study {
namespace {

using detail::FitModel;
using detail::Solution;

constexpr double confused = 0.8;  ///< correlation from which on two estimates are not told apart

double half_width(double confidence) { return detail::normal_quantile(0.0, 1.0, 0.5 + 0.5 * confidence); }

void require_sound(const plant::Plant& plant, const std::vector<Reading>& readings,
                   const FitOptions& options) {
    plant::require_valid(plant);
    std::vector<Problem> problems = find_problems(readings, plant);
    if (readings.empty()) problems.push_back({"readings", "", "there are none", "one at least", {}, 0});
    const auto range = [&](const char* key, double value, double low, double high) {
        if (value >= low && value <= high) return;
        problems.push_back(
            {key, fmt::format("{}", value), "is out of range", fmt::format("{} to {}", low, high), {}, 0});
    };
    range("confidence", options.confidence, 0.5, 0.999);
    range("draws", static_cast<double>(options.draws), 20.0, 1e5);
    range("tell_apart", options.tell_apart, 1.0 + 1e-9, 1e9);
    const Tolerances& t = options.tolerances;
    for (const double tolerance : {t.vents, t.volume, t.leaks, t.product_oxygen})
        range("tolerances", tolerance, 1e-4, 5.0);
    if (!problems.empty()) throw InputError(std::move(problems));
}

struct Tried {
    Explanation explanation;
    Solution solution;
};

/// @param faults how many there are to choose from
Tried attempt(const plant::Plant& plant, const FitModel& model, const Fault& fault, std::size_t faults,
              double width) {
    Tried tried;
    Explanation& found = tried.explanation;
    found.fault = fault;
    found.words = describe(plant, fault);
    try {
        tried.solution = solve(model, fault);
    } catch (const Error& error) {
        found.failure = error.what();
        found.criterion = found.misfit = std::numeric_limits<double>::infinity();
        return tried;
    }
    found.misfit = tried.solution.misfit();
    found.criterion = found.misfit;
    if (fault.kind != FaultKind::none)
        found.criterion +=
            std::log(static_cast<double>(model.data())) + 2.0 * std::log(static_cast<double>(faults));
    if (FitModel::has_size(fault)) {
        const Eigen::Index last = tried.solution.x.size() - 1;
        const double off = width * std::sqrt(tried.solution.covariance(last, last));
        found.size = model.size_of(fault, tried.solution.x[last]);
        found.size_low = model.size_of(fault, tried.solution.x[last] - off);
        found.size_high = model.size_of(fault, tried.solution.x[last] + off);
    }
    return tried;
}

std::vector<Estimate> estimates_of(const plant::Plant& plant, const FitModel& model, const Solution& solution,
                                   double width) {
    std::vector<Estimate> estimates;
    for (std::size_t i = 0; i < model.unknowns().size(); ++i) {
        const FitModel::Unknown& unknown = model.unknowns()[i];
        const auto k = static_cast<Eigen::Index>(i);
        const double deviation = std::sqrt(solution.covariance(k, k));
        const auto at = [&](double off) { return unknown.designed * std::exp(unknown.tolerance * off); };
        const double x = solution.x[k];
        const bool of_source = unknown.quantity == Quantity::product_oxygen;
        estimates.push_back({unknown.quantity, of_source ? "" : plant.risers[unknown.riser].name,
                             unknown.designed, at(x), at(x - width * deviation), at(x + width * deviation),
                             deviation});
    }
    return estimates;
}

std::vector<Confusion> confusions_of(const FitModel& model, const Solution& solution) {
    std::vector<Confusion> confusions;
    for (std::size_t i = 0; i < model.unknowns().size(); ++i) {
        for (std::size_t j = i + 1; j < model.unknowns().size(); ++j) {
            const auto a = static_cast<Eigen::Index>(i), b = static_cast<Eigen::Index>(j);
            const Eigen::MatrixXd& c = solution.covariance;
            const double correlation = c(a, b) / std::sqrt(c(a, a) * c(b, b));
            if (std::abs(correlation) > confused) confusions.push_back({i, j, correlation});
        }
    }
    return confusions;
}

/// The order statistic of sorted times, infinite ones last; none when it is not reached.
std::optional<double> order_statistic(const std::vector<double>& times, double share) {
    const double rank = std::floor(share * static_cast<double>(times.size()));
    const double time = times[std::min(static_cast<std::size_t>(rank), times.size() - 1)];
    return std::isfinite(time) ? std::optional<double>(time) : std::nullopt;
}

std::vector<Forecast> forecasts_of(const plant::Plant& plant, const FitModel& model, const Fault& fault,
                                   const Solution& solution, const FitOptions& options) {
    const Eigen::MatrixXd spread = solution.covariance.llt().matrixL();
    engine::EnsembleOptions settings;
    settings.run.relative_tolerance = options.relative_tolerance;
    const auto plant_at = [&](std::size_t draw) {
        Eigen::VectorXd z(solution.x.size());
        for (Eigen::Index i = 0; i < z.size(); ++i)
            z[i] = detail::normal_quantile(0.0, 1.0,
                                           uniform_at(options.seed, draw, static_cast<std::uint64_t>(i)));
        plant::Plant drawn = model.plant_of(fault, solution.x + spread * z);
        drawn.duration = plant.duration;
        return drawn;
    };
    const auto trials = engine::predict_many(options.draws, plant_at, settings);
    std::vector<Forecast> forecasts;
    const double tail = 0.5 * (1.0 - options.confidence);
    for (std::size_t r = 0; r < plant.risers.size(); ++r) {
        std::vector<double> times;
        std::size_t reached = 0;
        for (const engine::Trial& trial : trials) {
            if (!trial.done()) throw Error(trial.error);
            // What stands behind water never gets there.
            const bool cut = fault.kind == FaultKind::closed_branch && fault.riser == r;
            const double time = cut ? NAN : trial.risers[r].time_to_target;
            reached += std::isnan(time) ? 0U : 1U;
            times.push_back(std::isnan(time) ? INFINITY : time);
        }
        std::sort(times.begin(), times.end());
        forecasts.push_back({plant.risers[r].name, {}, order_statistic(times, 0.5), {}, 0.0});
        Forecast& forecast = forecasts.back();
        forecast.high = order_statistic(times, 1.0 - tail);
        // A band without a late end leaves out nothing there: all that it may leave out is early.
        forecast.low = order_statistic(times, forecast.high ? tail : 2.0 * tail);
        forecast.reached = static_cast<double>(reached) / static_cast<double>(times.size());
    }
    return forecasts;
}

std::vector<Tried> try_all(const plant::Plant& plant, const FitModel& model, const std::vector<Fault>& faults,
                           const FitOptions& options) {
    std::vector<Tried> all;
    const double width = half_width(options.confidence);
    for (const Fault& fault : faults) {
        if (options.progress && !options.progress(all.size(), faults.size()))
            throw Error("the fit was stopped");
        all.push_back(attempt(plant, model, fault, faults.size() - 1, width));
    }
    std::stable_sort(all.begin(), all.end(), [](const Tried& a, const Tried& b) {
        return a.explanation.criterion < b.explanation.criterion;
    });
    if (!all.front().explanation.failure.empty()) throw Error(all.front().explanation.failure);
    return all;
}

}  // namespace

std::vector<Fault> possible_faults(const plant::Plant& plant, const std::vector<Reading>& readings) {
    std::vector<Fault> faults{{FaultKind::none, 0, 0}};
    std::set<std::string> read;
    for (const Reading& reading : readings) read.insert(reading.riser);
    for (std::size_t r = 0; r < plant.risers.size(); ++r) {
        const plant::Riser& riser = plant.risers[r];
        if (!read.contains(riser.name)) continue;
        faults.push_back({FaultKind::leak, r, 0});
        for (std::size_t v = 0; v < riser.vents.size(); ++v)
            faults.push_back({FaultKind::blocked_vent, r, v});
        for (const std::size_t p : branches_of(riser)) faults.push_back({FaultKind::closed_branch, r, p});
        for (std::size_t w = 0; w < riser.low_points.size(); ++w)
            faults.push_back({FaultKind::dry_low_point, r, w});
        faults.push_back({FaultKind::small_supply, r, 0});
    }
    const bool has_flow = !std::holds_alternative<plant::Cylinders>(plant.source);
    const bool has_purity = !std::holds_alternative<plant::Compressor>(plant.source);
    if (has_purity) faults.push_back({FaultKind::low_purity, 0, 0});
    if (has_flow) faults.push_back({FaultKind::small_source, 0, 0});
    return faults;
}

Fit fit(const plant::Plant& plant, const std::vector<Reading>& readings, const FitOptions& options) {
    require_sound(plant, readings, options);
    const FitModel model(plant, readings, options);
    const auto faults = options.faults.empty() ? possible_faults(plant, readings) : options.faults;
    const std::vector<Tried> all = try_all(plant, model, faults, options);
    Fit result;
    result.readings = model.data();
    result.confidence = options.confidence;
    const double best = all.front().explanation.criterion;
    for (const Tried& tried : all) {
        result.explanations.push_back(tried.explanation);
        result.explanations.back().odds_against = std::exp(0.5 * (tried.explanation.criterion - best));
    }
    result.not_told_apart = static_cast<std::size_t>(
        std::count_if(result.explanations.begin(), result.explanations.end(),
                      [&](const Explanation& e) { return e.odds_against < options.tell_apart; }));
    const Solution& solution = all.front().solution;
    result.worst_residual =
        solution.residuals.head(static_cast<Eigen::Index>(model.data())).cwiseAbs().maxCoeff();
    result.estimates = estimates_of(plant, model, solution, half_width(options.confidence));
    result.confusions = confusions_of(model, solution);
    result.found = model.plant_of(all.front().explanation.fault, solution.x);
    result.found.duration = plant.duration;
    result.forecasts = forecasts_of(plant, model, all.front().explanation.fault, solution, options);
    return result;
}

}  // namespace oxfade::study
