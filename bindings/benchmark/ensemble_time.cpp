#include <chrono>
#include <cstdlib>
#include <ctime>
#include <exception>
#include <iostream>
#include <string>

#include "oxfade/engine/ensemble.hpp"
#include "oxfade/scenario/read.hpp"

/// `ensemble_time SCENARIO RUNS THREADS`: runs the scenario with RUNS targets from 95 to 98 %, and prints
/// wall and processor time [s] and the sum of the times to target [s]. The Python test runs the same.
namespace {

using oxfade::engine::EnsembleOptions;
using oxfade::engine::Trial;

std::vector<Trial> run(const oxfade::plant::Plant& base, std::size_t runs, unsigned threads) {
    const double step = 0.03 / static_cast<double>(runs > 1 ? runs - 1 : 1);
    EnsembleOptions options;
    options.threads = threads;
    return oxfade::engine::predict_many(
        runs,
        [&](std::size_t k) {
            auto plant = base;
            plant.target = 0.95 + step * static_cast<double>(k);
            return plant;
        },
        options);
}

void measure(const char* scenario, std::size_t runs, unsigned threads) {
    const auto plant = oxfade::scenario::read_file(scenario).plant;
    const auto begin = std::chrono::steady_clock::now();
    const std::clock_t work = std::clock();
    const auto trials = run(plant, runs, threads);
    const double processor = static_cast<double>(std::clock() - work) / CLOCKS_PER_SEC;
    const std::chrono::duration<double> wall = std::chrono::steady_clock::now() - begin;
    double sum = 0.0;
    for (const Trial& trial : trials) sum += trial.time_to_target;
    std::cout.precision(17);
    std::cout << wall.count() << ' ' << processor << ' ' << sum << '\n';
}

}  // namespace

int main(int argc, char** argv) {
    if (argc != 4) {
        std::cerr << "ensemble_time SCENARIO RUNS THREADS\n";
        return 2;
    }
    try {
        measure(argv[1], std::stoul(argv[2]), static_cast<unsigned>(std::stoul(argv[3])));
    } catch (const std::exception& error) {
        std::cerr << error.what() << '\n';
        return 1;
    }
    return 0;
}
