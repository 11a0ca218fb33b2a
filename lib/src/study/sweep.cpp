#include "oxfade/study/sweep.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <memory>
#include <utility>

#include "oxfade/engine/ensemble.hpp"
#include "oxfade/version.hpp"
#include "study/digest.hpp"
#include "study/quantiles.hpp"
#include "study/run_store.hpp"
#include "study/space_error.hpp"

namespace oxfade::study {
namespace {

constexpr std::size_t most_runs = 10'000'000;
constexpr std::size_t least_batch = 32, most_batch = 4096;
/// How long a batch should take: what a crash can cost.
constexpr std::chrono::duration<double> batch_time{0.5};

bool has_design(const SweepOptions& options) { return options.unknowns.size() >= 2; }

SobolDesign design_of(const SweepOptions& options) {
    SobolDesign design{options.unknowns.size(), 0, options.seed};
    design.rows = options.runs / design.runs_per_row();
    return design;
}

std::size_t points_of(const SweepOptions& options) {
    std::size_t points = 1;
    for (const Axis& axis : options.axes) points *= axis.values.size();
    return points;
}

void require_sound(const plant::Plant& plant, const SweepOptions& options) {
    plant::require_valid(plant);
    std::vector<Problem> problems;
    const auto add = [&](std::string key, std::string value, std::string what, std::string allowed) {
        problems.push_back({std::move(key), std::move(value), std::move(what), std::move(allowed), {}, 0});
    };
    if (options.axes.empty() && options.unknowns.empty())
        add("", "", "a sweep needs something to vary", "give an axis or an unknown");
    for (const Axis& axis : options.axes) {
        if (axis.values.empty()) add(axis.key, "", "an axis needs values", "one at least");
    }
    for (const Unknown& unknown : options.unknowns) {
        if (auto wrong = find_unsound(unknown.distribution))
            add(unknown.key, "", std::move(wrong->what), std::move(wrong->allowed));
    }
    const std::size_t least = has_design(options) ? 2 * design_of(options).runs_per_row() : 2;
    if (!options.unknowns.empty() && (options.runs < least || options.runs > most_runs)) {
        add("runs", std::to_string(options.runs), "the number of runs is out of range",
            fmt::format("{} to {}", least, most_runs));
    }
    if (points_of(options) * std::max<std::size_t>(1, runs_per_point(options)) > most_runs)
        add("", "", "that is too many runs in all", fmt::format("up to {}", most_runs));
    if (options.within && !(*options.within > 0.0))
        add("within", fmt::format("{} s", *options.within), "a wanted time is wanted", "above zero");
    std::vector<std::string> keys;
    for (const Axis& axis : options.axes) keys.push_back(axis.key);
    for (const Unknown& unknown : options.unknowns) keys.push_back(unknown.key);
    std::sort(keys.begin(), keys.end());
    if (const auto twice = std::adjacent_find(keys.begin(), keys.end()); twice != keys.end())
        add(*twice, "", "is varied twice", "name a key once");
    if (!problems.empty()) throw InputError(std::move(problems));
}

std::vector<Parameter> parameters_of(const plant::Plant& plant, const SweepOptions& options) {
    std::vector<Parameter> parameters;
    for (const Axis& axis : options.axes) parameters.emplace_back(plant, axis.key);
    for (const Unknown& unknown : options.unknowns) parameters.emplace_back(plant, unknown.key);
    return parameters;
}

plant::Plant plant_of_run(const plant::Plant& plant, const std::vector<Parameter>& parameters,
                          const SweepOptions& options, std::size_t run) {
    plant::Plant changed = plant;
    const std::vector<double> values = sweep_values(options, run);
    for (std::size_t i = 0; i < parameters.size(); ++i) parameters[i].set(changed, values[i]);
    return changed;
}

std::string digest_of(const plant::Plant& plant, const SweepOptions& options) {
    detail::Digest digest;
    digest.add(version);
    digest.add(plant);
    digest.add(static_cast<std::uint64_t>(options.runs));
    digest.add(options.seed);
    digest.add(options.relative_tolerance);
    for (const Axis& axis : options.axes) {
        digest.add(axis.key);
        for (const double value : axis.values) digest.add(value);
    }
    for (const Unknown& unknown : options.unknowns) {
        digest.add(unknown.key);
        digest.add(static_cast<std::uint64_t>(unknown.distribution.index()));
        for (const double p : {0.05, 0.3, 0.6, 0.95}) digest.add(quantile(unknown.distribution, p));
    }
    return digest.hex();
}

SweepRun kept(const engine::Trial& trial) {
    SweepRun run;
    run.error = trial.error;
    if (!trial.done()) return run;
    run.time_to_target = trial.time_to_target;
    run.air_after_fill = trial.air_after_fill;
    run.running = trial.running;
    run.nitrogen = trial.made_nitrogen;
    run.fills_met = true;
    run.longest_fill = 0.0;
    for (const engine::RiserHeadline& riser : trial.risers) {
        run.fills_met = run.fills_met && riser.fill_met;
        run.longest_fill = std::isnan(riser.fill_time)    ? riser.fill_time
                           : std::isnan(run.longest_fill) ? run.longest_fill
                                                          : std::max(run.longest_fill, riser.fill_time);
    }
    return run;
}

/// Computes what the store does not hold, batch by batch.
class Sweeper {
  public:
    Sweeper(const plant::Plant& plant, const SweepOptions& options)
        : plant_(plant),
          options_(options),
          parameters_(parameters_of(plant, options)),
          runs_(runs_in_all(options)) {
        if (!options.store.empty())
            store_ =
                std::make_unique<detail::RunStore>(options.store, digest_of(plant, options), runs_.size());
        for (std::size_t k = 0; k < runs_.size(); ++k) {
            if (store_ && store_->found()[k]) {
                runs_[k] = *store_->found()[k];
                ++resumed_;
            } else {
                missing_.push_back(k);
            }
        }
    }

    void run() {
        using Clock = std::chrono::steady_clock;
        std::size_t batch = least_batch * 2;
        for (std::size_t done = 0; done < missing_.size();) {
            const std::size_t count = std::min(batch, missing_.size() - done);
            const auto begin = Clock::now();
            run_batch(done, count);
            done += count;
            const double pace = batch_time / (Clock::now() - begin);
            const double wanted = static_cast<double>(batch) * std::clamp(pace, 0.25, 4.0);
            batch = std::clamp(static_cast<std::size_t>(wanted), least_batch, most_batch);
        }
    }

    std::vector<SweepRun> take() { return std::move(runs_); }
    std::size_t resumed() const { return resumed_; }

  private:
    void run_batch(std::size_t first, std::size_t count) {
        engine::EnsembleOptions settings;
        settings.run.relative_tolerance = options_.relative_tolerance;
        settings.threads = options_.threads;
        bool stopped = false;
        settings.progress = [&](std::size_t finished) {
            if (!options_.progress) return true;
            stopped = stopped || !options_.progress(resumed_ + first + finished, runs_.size());
            return !stopped;
        };
        const auto plant_at = [&](std::size_t k) {
            return plant_of_run(plant_, parameters_, options_, missing_[first + k]);
        };
        const auto trials = engine::predict_many(count, plant_at, settings);
        // When stopped, runs that were not begun carry an error of their own: none of this batch is kept.
        if (stopped) throw Error("the sweep was stopped");
        std::vector<std::size_t> indices;
        std::vector<SweepRun> finished;
        for (std::size_t k = 0; k < count; ++k) {
            indices.push_back(missing_[first + k]);
            finished.push_back(kept(trials[k]));
            runs_[indices.back()] = finished.back();
        }
        if (store_) store_->append(indices, finished);
    }

    const plant::Plant& plant_;
    const SweepOptions& options_;
    std::vector<Parameter> parameters_;
    std::vector<SweepRun> runs_;
    std::vector<std::size_t> missing_;
    std::unique_ptr<detail::RunStore> store_;
    std::size_t resumed_ = 0;
};

/// `times` sorted, infinite where the target was not met. `independent` is how many draws they are worth: the
/// mixed runs of a design share their values with others.
Percentile percentile(const std::vector<double>& times, double share, double independent) {
    const double count = static_cast<double>(times.size());
    const double trials = std::floor(independent), scale = count / trials;
    const auto at = [&](double rank) -> std::optional<double> {
        const double time = times[static_cast<std::size_t>(std::clamp(rank, 0.0, count - 1.0))];
        return std::isfinite(time) ? std::optional<double>(time) : std::nullopt;
    };
    return {share, at(std::ceil(share * count) - 1.0),
            at((detail::binomial_quantile(trials, share, 0.05) - 1.0) * scale),
            at(detail::binomial_quantile(trials, share, 0.95) * scale)};
}

SweepPoint summary(const std::vector<SweepRun>& runs, std::size_t first, std::size_t count,
                   const SweepOptions& options, double duration, double within) {
    SweepPoint point;
    std::vector<double> times, capped;
    for (std::size_t k = first; k < first + count; ++k) {
        const SweepRun& run = runs[k];
        const bool done = run.error.empty(), met = done && !std::isnan(run.time_to_target);
        capped.push_back(met ? run.time_to_target : done ? duration : NAN);
        if (!done) {
            if (point.failed++ == 0) point.failure = run.error;
            continue;
        }
        ++point.runs;
        times.push_back(met ? run.time_to_target : INFINITY);
        point.met += met ? 1 : 0;
        point.met_within += met && run.time_to_target <= within ? 1 : 0;
        point.fills_met += run.fills_met ? 1 : 0;
        point.on_air += run.air_after_fill > 0.0 ? 1 : 0;
        point.mean_nitrogen += run.nitrogen;
        point.mean_running += run.running;
    }
    if (point.runs == 0) return point;
    point.mean_nitrogen /= static_cast<double>(point.runs);
    point.mean_running /= static_cast<double>(point.runs);
    std::sort(times.begin(), times.end());
    const double each = static_cast<double>(point.runs);
    const double independent =
        has_design(options) ? 2.0 * each / static_cast<double>(options.unknowns.size() + 2) : each;
    for (const double share : {0.1, 0.5, 0.9}) {
        if (independent >= 1.0) point.percentiles.push_back(percentile(times, share, independent));
    }
    if (has_design(options)) point.indices = sobol_indices(design_of(options), capped);
    return point;
}

}  // namespace

std::size_t runs_per_point(const SweepOptions& options) {
    if (options.unknowns.empty()) return 1;
    return has_design(options) ? design_of(options).runs() : options.runs;
}

std::size_t runs_in_all(const SweepOptions& options) { return points_of(options) * runs_per_point(options); }

std::vector<double> sweep_values(const SweepOptions& options, std::size_t run) {
    const std::size_t each = runs_per_point(options), draw = run % each;
    std::size_t point = run / each;
    std::vector<double> values(options.axes.size());
    for (std::size_t i = options.axes.size(); i-- > 0;) {
        const std::vector<double>& along = options.axes[i].values;
        values[i] = along[point % along.size()];
        point /= along.size();
    }
    const SobolDesign design = design_of(options);
    for (std::size_t i = 0; i < options.unknowns.size(); ++i) {
        const double u = has_design(options) ? design.coordinate(draw, i) : uniform_at(options.seed, draw, i);
        values.push_back(quantile(options.unknowns[i].distribution, u));
    }
    return values;
}

plant::Plant sweep_plant(const plant::Plant& plant, const SweepOptions& options, std::size_t run) {
    return plant_of_run(plant, parameters_of(plant, options), options, run);
}

SweepResult sweep(const plant::Plant& plant, const SweepOptions& options) {
    require_sound(plant, options);
    SweepResult result;
    result.axes = options.axes;
    result.unknowns = options.unknowns;
    result.seed = options.seed;
    result.within = options.within.value_or(plant.duration);
    result.target_at = plant.target_at;
    result.space_error = space_error_of(plant, options.relative_tolerance);
    result.runs_per_point = runs_per_point(options);
    Sweeper sweeper(plant, options);
    sweeper.run();
    result.runs = sweeper.take();
    result.resumed = sweeper.resumed();
    for (std::size_t p = 0; p < points_of(options); ++p) {
        const std::size_t first = p * result.runs_per_point;
        result.points.push_back(
            summary(result.runs, first, result.runs_per_point, options, plant.duration, result.within));
        result.points.back().values = sweep_values(options, first);
        result.points.back().values.resize(options.axes.size());
    }
    return result;
}

}  // namespace oxfade::study
