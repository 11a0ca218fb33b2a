#include "oxfade/engine/ensemble.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <thread>

#include "engine/assembly.hpp"
#include "engine/simulation.hpp"

namespace oxfade::engine {
namespace {

constexpr std::size_t chunk = 16;  ///< runs a thread takes at a time

Trial run_one(const plant::Plant& plant, const Options& options) {
    plant::require_valid(plant);
    const Network net = build_network(plant, pressures_of(options));
    Simulation simulation(net, options);
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
        const std::size_t cores = std::max(1U, std::thread::hardware_concurrency());
        const std::size_t wanted = options_.threads > 0 ? options_.threads : cores;
        const std::size_t useful = std::max<std::size_t>(1, (trials_.size() + chunk - 1) / chunk);
        std::vector<std::jthread> helpers;
        for (std::size_t k = 1; k < std::min(wanted, useful); ++k) helpers.emplace_back([this] { work(); });
        work();
        helpers.clear();
        return std::move(trials_);
    }

  private:
    void work() {
        for (;;) {
            const std::size_t begin = next_.fetch_add(chunk);
            if (begin >= trials_.size()) return;
            const std::size_t end = std::min(begin + chunk, trials_.size());
            for (std::size_t k = begin; k < end; ++k) trials_[k] = attempt(k);
            report(end - begin);
        }
    }

    Trial attempt(std::size_t k) const {
        Trial failed;
        try {
            if (stopped_.load()) throw Error("stopped on request");
            return run_one(plant_at_(k), run_options_);
        } catch (const std::exception& error) {
            failed.error = error.what();
        }
        return failed;
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
