#include "oxfade/engine/ensemble.hpp"

#include <algorithm>
#include <atomic>
#include <deque>
#include <exception>
#include <mutex>
#include <thread>

#include "engine/assembly.hpp"
#include "engine/lane_ensemble.hpp"
#include "engine/side_by_side.hpp"
#include "engine/simulation.hpp"

namespace oxfade::engine {
namespace {

/// Runs a thread takes at a time: many, for the lanes to be kept full; fewer, for no thread to be idle.
constexpr std::size_t most_together = 128, least_together = 16, shares_each = 4;

Trial run_alone(const plant::Plant& plant, const Network& net, const Options& options) {
    Simulation simulation(plant, net, options);
    simulation.run();
    return headline(plant, net, simulation);
}

/// Hands out chunks of runs to the threads and collects their results in order.
class Crew {
  public:
    Crew(std::size_t count, const std::function<plant::Plant(std::size_t)>& plant_at,
         const EnsembleOptions& options)
        : plant_at_(plant_at), options_(options), run_options_(options.run), trials_(count) {
        run_options_.history_points = 0;
        run_options_.progress = [this](double) { return go_on(); };
    }

    std::vector<Trial> run() {
        const std::size_t wanted = threads_for(options_.threads);
        chunk_ = std::clamp(trials_.size() / (wanted * shares_each), least_together, most_together);
        const std::size_t useful = std::max<std::size_t>(1, (trials_.size() + chunk_ - 1) / chunk_);
        std::vector<std::jthread> helpers;
        for (std::size_t k = 1; k < std::min(wanted, useful); ++k) helpers.emplace_back([this] { work(); });
        work();
        helpers.clear();
        return std::move(trials_);
    }

  private:
    /// A run that is waiting: its plant and network.
    struct Case {
        Case(std::size_t run, plant::Plant made, const Options& options)
            : index(run), plant(std::move(made)), net(checked(plant, options)) {}
        std::size_t index;
        plant::Plant plant;
        Network net;

      private:
        static Network checked(const plant::Plant& plant, const Options& options) {
            plant::require_valid(plant);
            return build_network(plant, pressures_of(options),
                                 options.refinement > 0.0 ? options.refinement : 1.0);
        }
    };

    void work() {
        for (;;) {
            const std::size_t begin = next_.fetch_add(chunk_);
            if (begin >= trials_.size()) return;
            const std::size_t end = std::min(begin + chunk_, trials_.size());
            run_chunk(begin, end);
            report(end - begin);
        }
    }

    void run_chunk(std::size_t begin, std::size_t end) {
        std::deque<Case> cases;
        for (std::size_t k = begin; k < end; ++k) {
            attempt(k, [&] { cases.emplace_back(k, plant_at_(k), run_options_); });
        }
        std::vector<LaneJob> jobs;
        for (const Case& one : cases) {
            if (suits_lanes(one.plant, one.net, run_options_))
                jobs.push_back({&one.plant, &one.net, &trials_[one.index]});
        }
        if (!stopped_.load()) run_in_lanes(jobs, run_options_, [this] { return go_on(); });
        auto job = jobs.begin();
        for (const Case& one : cases) {
            const bool was_in_lanes = job != jobs.end() && job->net == &one.net;
            const bool finished = was_in_lanes && job->finished;
            if (was_in_lanes) ++job;
            if (finished) continue;
            attempt(one.index, [&] { trials_[one.index] = run_alone(one.plant, one.net, run_options_); });
        }
    }

    /// Does something for a run; what it throws becomes the run's error.
    template <class Action>
    void attempt(std::size_t k, const Action& action) {
        try {
            if (stopped_.load()) throw Error("stopped on request");
            action();
        } catch (const std::exception& error) {
            trials_[k] = {};
            trials_[k].error = error.what();
        }
    }

    /// Asked now and then within a run, so that long runs can be stopped too.
    bool go_on() {
        if (stopped_.load()) return false;
        if (!options_.progress) return true;
        const std::unique_lock lock(mutex_, std::try_to_lock);
        if (lock.owns_lock() && !options_.progress(finished_)) stopped_.store(true);
        return !stopped_.load();
    }

    void report(std::size_t finished) {
        if (!options_.progress) return;
        const std::scoped_lock lock(mutex_);
        finished_ += finished;
        if (!options_.progress(finished_)) stopped_.store(true);
    }

    const std::function<plant::Plant(std::size_t)>& plant_at_;
    const EnsembleOptions& options_;
    Options run_options_;
    std::vector<Trial> trials_;
    std::size_t chunk_ = 1;
    std::atomic<std::size_t> next_{0};
    std::atomic<bool> stopped_{false};
    std::mutex mutex_;
    std::size_t finished_ = 0;
};

}  // namespace

std::vector<Trial> predict_many(std::size_t count, const std::function<plant::Plant(std::size_t)>& plant_at,
                                const EnsembleOptions& options) {
    require_valid(options.run);
    return Crew(count, plant_at, options).run();
}

std::vector<Trial> predict_many(std::span<const plant::Plant> plants, const EnsembleOptions& options) {
    return predict_many(
        plants.size(), [&](std::size_t k) { return plants[k]; }, options);
}

}  // namespace oxfade::engine
