#include <algorithm>
#include <cmath>

#include "engine/lane_ensemble.hpp"
#include "engine/lanes/dispatch.hpp"
#include "oxfade/engine/ensemble.hpp"
#include "oxfade/engine/predict.hpp"
#include "support/random_plant.hpp"
#include "support/sanitized.hpp"

/// Ensembles in vectors of one run an entry, against the same runs one at a time.
namespace oxfade {
namespace {

constexpr unsigned count = sample::sanitized ? 60 : 400;

/// A random tree of one riser behind a generator, on which the source's cycles matter: some demands are a
/// fraction of what the separator makes, some are above it.
plant::Plant lane_plant(unsigned seed) {
    sample::Dice dice(seed);
    plant::Plant plant;
    plant.duration = dice.between(3.0, 21.0) * sample::day;
    plant.target = dice.between(0.93, 0.985);
    plant::Generator source;
    source.purity = dice.between(0.95, 0.999);
    source.nitrogen_flow = dice.between(60.0, 200.0) * sample::cubic_foot_per_hour;
    source.air_flow = source.nitrogen_flow * dice.between(2.0, 6.0);
    source.receiver = {dice.between(30.0, 120.0) * sample::gallon, sample::psig(dice.between(70.0, 90.0)),
                       sample::psig(dice.between(95.0, 120.0)), sample::psig(dice.between(0.0, 130.0)),
                       dice.chance(0.5) ? plant::InitialGas::air : plant::InitialGas::source};
    source.air_below = sample::psig(dice.between(40.0, 68.0));
    plant.source = source;
    plant::Riser riser;
    riser.name = "riser";
    riser.set_pressure = sample::psig(dice.between(15.0, 35.0));
    riser.fill = {dice.between(0.3, 0.6) * sample::inch, 0.8};
    riser.supply = plant::Regulator{{dice.between(0.06, 0.2) * sample::inch, 0.8}};
    // Few shapes, so that several plants share one.
    for (unsigned k = 0; k <= seed % 4; ++k) {
        riser.pipes.push_back(
            sample::vessel("p" + std::to_string(k), dice.between(100.0, 700.0) * sample::gallon));
        if (k > 1) riser.pipes.back().from = seed % 3 == 0 ? "p0" : "p1";
        riser.leaks.push_back(sample::hole(riser.pipes.back().name, dice.between(0.03e-3, 0.3e-3)));
    }
    riser.vents = {sample::vent(riser.pipes.back().name, dice.between(0.02, 0.09) * sample::inch)};
    plant.risers = {riser};
    return plant;
}

std::vector<plant::Plant> lane_plants() {
    std::vector<plant::Plant> plants;
    for (unsigned seed = 0; seed < count; ++seed) plants.push_back(lane_plant(seed));
    return plants;
}

std::vector<engine::Trial> one_thread(const std::vector<plant::Plant>& plants, engine::Options run = {}) {
    engine::EnsembleOptions options;
    options.run = run;
    options.threads = 1;
    return engine::predict_many(plants, options);
}

double relative(double a, double b) { return std::abs(a - b) / std::max(std::abs(b), 1e-12); }

bool same(double a, double b) { return a == b || (std::isnan(a) && std::isnan(b)); }

bool same(const engine::Trial& a, const engine::Trial& b) {
    return a.error == b.error && a.starts == b.starts && a.running == b.running && a.on_air == b.on_air &&
           a.balance == b.balance && same(a.time_to_target, b.time_to_target) &&
           same(a.risers[0].worst_oxygen, b.risers[0].worst_oxygen) &&
           a.risers[0].vented == b.risers[0].vented && same(a.risers[0].fill_time, b.risers[0].fill_time);
}

/// Largest difference of what a trial and a run say.
struct Difference {
    double time = 0.0, oxygen = 0.0, running = 0.0, air_after_fill = 0.0, vented = 0.0;

    void take(const engine::Trial& trial, const outcome::Outcome& run) {
        const outcome::RiserOutcome& riser = run.risers[0];
        ASSERT_EQ(std::isnan(trial.time_to_target), !riser.time_to_target);
        if (riser.time_to_target && *riser.time_to_target > 0.0)
            time = std::max(time, relative(trial.time_to_target, *riser.time_to_target));
        double worst = 0.0;
        for (const outcome::PipeOutcome& pipe : riser.pipes)
            worst = std::max(worst, *std::max_element(pipe.oxygen.begin(), pipe.oxygen.end()));
        oxygen = std::max(oxygen, relative(trial.risers[0].worst_oxygen, worst));
        running = std::max(running, std::abs(trial.running - run.source.running) / run.duration);
        air_after_fill = std::max(air_after_fill,
                                  std::abs(trial.air_after_fill - run.source.air_after_fill) / run.duration);
        vented = std::max(vented, relative(trial.risers[0].vented, riser.vented));
        EXPECT_NEAR(trial.starts, run.source.starts, 1);
    }
};

TEST(Lanes, worst_of_hundreds_of_plants_agrees_with_runs_one_at_a_time) {
    const std::vector<plant::Plant> plants = lane_plants();
    const std::vector<engine::Trial> trials = one_thread(plants);
    engine::Options same_tolerance, fine;
    same_tolerance.history_points = fine.history_points = 0;
    fine.relative_tolerance = 1e-9;
    fine.event_tolerance = 1e-7;
    Difference alone, from_fine;
    for (unsigned seed = 0; seed < count; ++seed) {
        SCOPED_TRACE(seed);
        ASSERT_TRUE(trials[seed].done()) << trials[seed].error;
        alone.take(trials[seed], engine::predict(plants[seed], same_tolerance));
        if (seed % 8 == 0) from_fine.take(trials[seed], engine::predict(plants[seed], fine));
        EXPECT_LT(trials[seed].balance, 1e-9);
    }
    EXPECT_LT(alone.time, 1e-6);
    EXPECT_LT(alone.oxygen, 1e-6);
    EXPECT_LT(alone.running, 1e-7);
    EXPECT_LT(alone.air_after_fill, 1e-7);
    EXPECT_LT(alone.vented, 1e-6);
    EXPECT_LT(from_fine.time, 1e-5);
    // A plant whose cycle ends in another phase than it should is off by part of the cycle's swing (seed
    // 112).
    EXPECT_LT(from_fine.oxygen, 1e-4);
    EXPECT_LT(from_fine.vented, 1e-5);
}

TEST(Lanes, most_plants_stay_in_them_on_every_instruction_set) {
    const std::vector<plant::Plant> plants = lane_plants();
    const engine::Options options;
    std::vector<engine::Network> nets;
    for (const plant::Plant& plant : plants) nets.push_back(engine::build_network(plant));
    std::vector<engine::Trial> first;
    for (const engine::Kernels* kernels : engine::all_kernels()) {
        std::vector<engine::Trial> trials(plants.size());
        std::vector<engine::LaneJob> jobs;
        for (std::size_t k = 0; k < plants.size(); ++k) {
            ASSERT_TRUE(engine::suits_lanes(plants[k], nets[k], options));
            jobs.push_back({&plants[k], &nets[k], &trials[k]});
        }
        engine::run_in_lanes(
            jobs, options, [] { return true; }, *kernels);
        const auto finished =
            std::count_if(jobs.begin(), jobs.end(), [](const auto& job) { return job.finished; });
        EXPECT_GT(finished, static_cast<long>(count) * 8 / 10) << kernels->name;
        if (first.empty()) first = trials;
        for (std::size_t k = 0; k < plants.size(); ++k) {
            if (!jobs[k].finished || first[k].risers.empty()) continue;
            EXPECT_LT(relative(trials[k].risers[0].worst_oxygen, first[k].risers[0].worst_oxygen), 1e-5);
            EXPECT_NEAR(trials[k].starts, first[k].starts, 1);
        }
    }
}

TEST(Lanes, what_a_run_gets_depends_neither_on_threads_nor_on_the_others) {
    const std::vector<plant::Plant> plants = lane_plants();
    const std::vector<engine::Trial> trials = one_thread(plants);
    engine::EnsembleOptions options;
    options.threads = 3;
    const std::vector<engine::Trial> threaded = engine::predict_many(plants, options);
    std::vector<plant::Plant> backwards(plants.rbegin(), plants.rend());
    std::vector<engine::Trial> reversed = one_thread(backwards);
    std::reverse(reversed.begin(), reversed.end());
    for (std::size_t k = 0; k < plants.size(); ++k) {
        EXPECT_TRUE(same(trials[k], threaded[k])) << k;
        EXPECT_TRUE(same(trials[k], reversed[k])) << k;
    }
    for (std::size_t k = 0; k < plants.size(); k += 20) {
        EXPECT_TRUE(same(trials[k], one_thread({plants[k]}).front())) << k;
    }
}

TEST(Lanes, a_run_that_fails_stops_no_other) {
    std::vector<plant::Plant> plants;
    for (unsigned seed = 0; seed < 40; ++seed) plants.push_back(lane_plant(seed));
    const std::vector<engine::Trial> all_well = one_thread(plants);
    plants[3].target = 2.0;
    plants[17].risers[0].pipes[0].shape = plant::VolumeOnly{-1.0};
    const std::vector<engine::Trial> trials = one_thread(plants);
    for (std::size_t k = 0; k < plants.size(); ++k) {
        if (k == 3 || k == 17) {
            EXPECT_FALSE(trials[k].done());
        } else {
            EXPECT_TRUE(same(trials[k], all_well[k])) << k;
        }
    }
}

TEST(Lanes, a_bound_on_steps_is_a_runs_own_error) {
    engine::Options run;
    run.max_steps = 40;
    for (const engine::Trial& trial : one_thread({lane_plant(0), lane_plant(1)}, run))
        EXPECT_THAT(trial.error, testing::HasSubstr("gave up after 40 steps"));
}

TEST(Lanes, stop_on_request) {
    const std::vector<plant::Plant> plants = lane_plants();
    engine::EnsembleOptions options;
    options.threads = 1;
    options.progress = [](std::size_t finished) { return finished == 0; };
    const std::vector<engine::Trial> trials = engine::predict_many(plants, options);
    EXPECT_TRUE(trials.front().done());
    EXPECT_EQ(trials.back().error, "stopped on request");
}

}  // namespace
}  // namespace oxfade
