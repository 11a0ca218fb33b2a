// The same input gives the same bytes, however many threads take part. Also what ThreadSanitizer looks at:
// see DEVELOPERS.md.
#include <algorithm>
#include <atomic>
#include <bit>
#include <chrono>
#include <thread>

#include "oxfade/engine/ensemble.hpp"
#include "oxfade/engine/predict.hpp"
#include "oxfade/report/json.hpp"
#include "oxfade/report/study_sweep.hpp"
#include "oxfade/scenario/read.hpp"
#include "oxfade/study/parameter.hpp"
#include "oxfade/study/sweep.hpp"
#include "support/plants.hpp"
#include "support/source_folder.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

/// All bits of a headline.
void add_bits(std::vector<std::uint64_t>& bits, const engine::Trial& trial) {
    const auto add = [&](double value) { bits.push_back(std::bit_cast<std::uint64_t>(value)); };
    for (const double value : {trial.time_to_target, trial.running, trial.on_air, trial.air_after_fill,
                               trial.made_nitrogen, trial.made_air, trial.balance})
        add(value);
    bits.push_back(static_cast<std::uint64_t>(trial.starts));
    for (const engine::RiserHeadline& riser : trial.risers) {
        for (const double value : {riser.fill_time, riser.time_to_target, riser.worst_oxygen,
                                   riser.final_pressure, riser.vented, riser.leaked})
            add(value);
    }
}

plant::Plant plant_at(std::size_t k) {
    plant::Plant plant = two_pipe_riser((0.02 + 0.001 * static_cast<double>(k % 50)) * inch);
    plant.duration = 2.0 * day;
    return plant;
}

std::vector<std::uint64_t> ensemble_on(unsigned threads) {
    engine::EnsembleOptions options;
    options.threads = threads;
    std::vector<std::uint64_t> bits;
    for (const engine::Trial& trial : engine::predict_many(100, plant_at, options)) {
        EXPECT_TRUE(trial.done()) << trial.error;
        add_bits(bits, trial);
    }
    return bits;
}

TEST(SameBytes, EnsembleOnAnyNumberOfThreads) {
    const auto alone = ensemble_on(1);
    EXPECT_GT(alone.size(), 1000U);
    for (const unsigned threads : {2U, 3U, 8U}) EXPECT_EQ(ensemble_on(threads), alone) << threads;
}

std::string sweep_on(unsigned threads) {
    const plant::Plant plant = plant_at(10);
    study::SweepOptions options;
    options.unknowns = {study::parse_unknown("source.purity=normal(98 %, 0.1 %)", plant),
                        study::parse_unknown("riser.riser.vent.0.diameter=uniform(0.02 in, 0.05 in)", plant)};
    options.runs = 120;
    options.threads = threads;
    return report::sweep_json(plant, study::sweep(plant, options),
                              report::units_of(plant, report::System::us));
}

TEST(SameBytes, SweepOnAnyNumberOfThreads) {
    const std::string alone = sweep_on(1);
    EXPECT_NE(alone.find("percentiles"), std::string::npos);
    for (const unsigned threads : {2U, 5U}) EXPECT_EQ(sweep_on(threads), alone) << threads;
}

std::string json_of(const plant::Plant& plant, const engine::Options& options = {}) {
    return report::to_json(engine::predict(plant, options), report::units_of(plant, report::System::us));
}

TEST(SameBytes, PredictionWithWhatItIsComparedWith) {
    const plant::Plant plant =
        scenario::read_file(source_folder() / "apps/scenarios/training_rig.toml").plant;
    engine::Options options;
    options.vary = true;
    options.threads = 1;
    const std::string alone = json_of(plant, options);
    EXPECT_NE(alone.find("variations"), std::string::npos);
    for (const unsigned threads : {0U, 2U, 5U}) {
        options.threads = threads;
        EXPECT_EQ(json_of(plant, options), alone) << threads;
    }
}

TEST(SameBytes, RunsBesideEachOther) {
    const plant::Plant plant = plant_at(20);
    const std::string alone = json_of(plant);
    std::vector<std::string> beside(4);
    {
        std::vector<std::jthread> threads;
        for (std::string& text : beside) threads.emplace_back([&] { text = json_of(plant); });
    }
    for (const std::string& text : beside) EXPECT_EQ(text, alone);
}

TEST(SameBytes, FilesReadBesideEachOther) {
    const auto file = source_folder() / "apps/scenarios/cold_store.toml";
    std::vector<double> volumes(4);
    {
        std::vector<std::jthread> threads;
        for (double& volume : volumes)
            threads.emplace_back([&] { volume = scenario::read_file(file).plant.risers[0].volume(); });
    }
    for (const double volume : volumes) EXPECT_EQ(volume, volumes[0]);
    EXPECT_GT(volumes[0], 0.5);
}

TEST(SameBytes, StoppingReachesEveryThread) {
    engine::EnsembleOptions options;
    options.threads = 4;
    std::atomic<int> calls{0};
    options.progress = [&](std::size_t) { return ++calls < 2; };
    const auto trials = engine::predict_many(400, plant_at, options);
    const auto stopped = std::count_if(trials.begin(), trials.end(), [](const engine::Trial& trial) {
        return trial.error.find("stopped on request") != std::string::npos;
    });
    EXPECT_GT(stopped, 0);
    EXPECT_EQ(trials.size(), 400U);
}

}  // namespace
