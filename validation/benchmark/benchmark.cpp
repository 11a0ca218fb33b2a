#include <benchmark/benchmark.h>

#include <oxfade/oxfade.hpp>

#include "cases.hpp"
#include "plain.hpp"

namespace {

using namespace oxfade;

engine::Options lean() {
    engine::Options options;
    options.history_points = 0;  // as the peers, who keep no history either
    return options;
}

void report(benchmark::State& state, const outcome::Outcome& run) {
    state.counters["events"] = static_cast<double>(run.effort.events);
    state.counters["steps"] = static_cast<double>(run.effort.steps);
}

void one_riser(benchmark::State& state) {
    const plant::Plant plant = cases::one_riser(1e-3 * static_cast<double>(state.range(0)));
    engine::Options options = lean();
    options.skip_cycles = state.range(1) != 0;
    for (auto _ : state) benchmark::DoNotOptimize(engine::predict(plant, options));
    report(state, engine::predict(plant, options));
}

void four_risers(benchmark::State& state) {
    const plant::Plant plant = cases::four_risers();
    engine::Options options = lean();
    options.skip_cycles = state.range(0) != 0;
    for (auto _ : state) benchmark::DoNotOptimize(engine::predict(plant, options));
    report(state, engine::predict(plant, options));
}

void compartments(benchmark::State& state, bool chain) {
    const plant::Plant plant = cases::many_compartments(static_cast<int>(state.range(0)), chain);
    for (auto _ : state) benchmark::DoNotOptimize(engine::predict(plant, lean()));
    report(state, engine::predict(plant, lean()));
    state.SetComplexityN(state.range(0));
}

void ensemble(benchmark::State& state) {
    const std::vector<plant::Plant> plants = cases::variations(static_cast<std::size_t>(state.range(0)));
    for (auto _ : state) benchmark::DoNotOptimize(engine::predict_many(plants));
}

void plain_one_riser(benchmark::State& state) {
    const plant::Plant plant = cases::one_riser(1e-3 * static_cast<double>(state.range(0)));
    for (auto _ : state) benchmark::DoNotOptimize(peer::solve_with_odeint(plant, 1e-6));
    state.counters["events"] = static_cast<double>(peer::solve_with_odeint(plant, 1e-6).events);
}

void plain_four_risers(benchmark::State& state) {
    const plant::Plant plant = cases::four_risers();
    for (auto _ : state) benchmark::DoNotOptimize(peer::solve_with_odeint(plant, 1e-6));
    state.counters["events"] = static_cast<double>(peer::solve_with_odeint(plant, 1e-6).events);
}

}  // namespace

BENCHMARK(one_riser)
    ->Name("A")
    ->ArgNames({"mil", "skip"})
    ->ArgsProduct({{30, 50, 80}, {1, 0}})
    ->Unit(benchmark::kMicrosecond);
BENCHMARK(plain_one_riser)
    ->Name("A/plain Odeint")
    ->ArgName("mil")
    ->Arg(30)
    ->Arg(50)
    ->Arg(80)
    ->Unit(benchmark::kMicrosecond);
BENCHMARK(four_risers)->Name("B")->ArgName("skip")->Arg(1)->Arg(0)->Unit(benchmark::kMillisecond);
BENCHMARK(plain_four_risers)->Name("B/plain Odeint")->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(compartments, chain, true)
    ->Name("C/chain")
    ->RangeMultiplier(10)
    ->Range(10, 10000)
    ->Unit(benchmark::kMillisecond)
    ->Complexity();
BENCHMARK_CAPTURE(compartments, tree, false)
    ->Name("C/tree")
    ->RangeMultiplier(10)
    ->Range(10, 10000)
    ->Unit(benchmark::kMillisecond)
    ->Complexity();
BENCHMARK(ensemble)->Name("D")->Arg(10000)->Unit(benchmark::kMillisecond)->UseRealTime();

BENCHMARK_MAIN();
