#include "oxfade/study/sweep.hpp"

#include <unistd.h>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "oxfade/engine/predict.hpp"
#include "support/plants.hpp"

namespace oxfade::study {
namespace {

namespace fs = std::filesystem;

plant::Plant quick_plant() {
    plant::Plant plant = sample::purged_vessel(0.98, 2.0 * sample::day);
    plant.target = 0.97;
    return plant;
}

SweepOptions two_unknowns(std::size_t runs) {
    SweepOptions options;
    options.unknowns = {{"source.purity", Uniform{0.975, 0.99}},
                        {"riser.riser.vent.0.diameter", Uniform{0.8e-3, 1.2e-3}}};
    options.runs = runs;
    return options;
}

struct Folder {
    Folder() { fs::create_directories(path); }
    ~Folder() { fs::remove_all(path); }
    fs::path path = fs::temp_directory_path() / ("oxfade_sweep_" + std::to_string(::getpid()));
    fs::path file = path / "runs.csv";
};

std::string text_of(const fs::path& file) {
    std::ostringstream text;
    text << std::ifstream(file, std::ios::binary).rdbuf();
    return text.str();
}

void expect_same(const SweepResult& a, const SweepResult& b) {
    ASSERT_EQ(a.runs.size(), b.runs.size());
    for (std::size_t k = 0; k < a.runs.size(); ++k) {
        EXPECT_EQ(a.runs[k].time_to_target, b.runs[k].time_to_target) << k;
        EXPECT_EQ(a.runs[k].nitrogen, b.runs[k].nitrogen) << k;
    }
    for (std::size_t i = 0; i < a.points[0].percentiles.size(); ++i)
        EXPECT_EQ(a.points[0].percentiles[i].value, b.points[0].percentiles[i].value);
    for (std::size_t i = 0; i < a.points[0].indices.size(); ++i) {
        EXPECT_EQ(a.points[0].indices[i].total, b.points[0].indices[i].total);
        EXPECT_EQ(a.points[0].indices[i].first_error, b.points[0].indices[i].first_error);
    }
}

TEST(Sweep, AGridRunsEveryCombination) {
    SweepOptions options;
    options.axes = {{"source.purity", {0.98, 0.99}}, {"riser.riser.vent.0.diameter", {0.8e-3, 1e-3, 1.2e-3}}};
    const SweepResult result = sweep(quick_plant(), options);
    ASSERT_EQ(result.points.size(), 6u);
    EXPECT_THAT(result.points[4].values, testing::ElementsAre(0.99, 1e-3));
    plant::Plant same = quick_plant();
    std::get<plant::Cylinders>(same.source).purity = 0.99;
    EXPECT_NEAR(result.runs[4].time_to_target, *engine::predict(same).risers[0].time_to_target, 1.0);
    EXPECT_LT(result.runs[5].time_to_target, result.runs[4].time_to_target);
}

TEST(Sweep, PercentilesFollowFromTheRuns) {
    SweepOptions options;
    options.unknowns = {{"riser.riser.vent.0.diameter", Uniform{0.8e-3, 1.2e-3}}};
    options.runs = 101;
    options.within = 8.0 * sample::hour;
    const SweepResult result = sweep(quick_plant(), options);
    std::vector<double> times;
    for (const SweepRun& run : result.runs) times.push_back(run.time_to_target);
    std::sort(times.begin(), times.end());
    const SweepPoint& point = result.points[0];
    ASSERT_EQ(point.percentiles.size(), 3u);
    EXPECT_EQ(*point.percentiles[1].value, times[50]);
    EXPECT_LT(*point.percentiles[0].low, *point.percentiles[0].value);
    EXPECT_GT(*point.percentiles[2].high, *point.percentiles[2].value);
    EXPECT_EQ(point.met_within,
              static_cast<std::size_t>(
                  std::count_if(times.begin(), times.end(), [&](double t) { return t <= *options.within; })));
    // Time falls with the vent's area alone: its quantiles are known.
    const auto at = [&](double p) { return times[static_cast<std::size_t>(p * 100.0)]; };
    EXPECT_NEAR(at(0.1) / at(0.9), std::pow(0.84 / 1.16, 2.0), 0.06);
}

TEST(Sweep, RunsThatDoNotMeetTheTargetCountAsSuch) {
    plant::Plant plant = quick_plant();
    SweepOptions options;
    options.unknowns = {{"source.purity", Uniform{0.96, 0.98}}};
    options.runs = 60;
    const SweepResult result = sweep(plant, options);
    EXPECT_GT(result.points[0].met, 10u);
    EXPECT_LT(result.points[0].met, 50u);
    EXPECT_FALSE(result.points[0].percentiles[2].value.has_value());
    EXPECT_TRUE(result.points[0].percentiles[0].value.has_value());
}

TEST(Sweep, ARunThatCannotBeComputedIsCountedAndSaysWhy) {
    SweepOptions options;
    options.unknowns = {{"source.purity", Uniform{0.98, 1.02}}};
    options.runs = 40;
    const SweepResult result = sweep(quick_plant(), options);
    EXPECT_GT(result.points[0].failed, 5u);
    EXPECT_EQ(result.points[0].failed + result.points[0].runs, 40u);
    EXPECT_THAT(result.points[0].failure, testing::HasSubstr("source.purity"));
}

TEST(Sweep, StoredRunsAreTakenUpToTheSameResult) {
    const Folder folder;
    SweepOptions options = two_unknowns(80);
    const SweepResult whole = sweep(quick_plant(), options);
    options.store = folder.file;
    expect_same(sweep(quick_plant(), options), whole);
    // Cut the file in the middle of a line, as a crash would.
    const std::string text = text_of(folder.file);
    fs::resize_file(folder.file, text.size() / 2);
    ASSERT_NE(text[text.size() / 2 - 1], '\n');
    const SweepResult again = sweep(quick_plant(), options);
    EXPECT_GT(again.resumed, 20u);
    EXPECT_LT(again.resumed, 60u);
    expect_same(again, whole);
    EXPECT_EQ(sweep(quick_plant(), options).resumed, 80u);
}

TEST(Sweep, AStopKeepsWhatWasFinished) {
    const Folder folder;
    SweepOptions options = two_unknowns(400);
    options.store = folder.file;
    options.progress = [](std::size_t done, std::size_t) { return done < 200; };
    EXPECT_THROW(sweep(quick_plant(), options), Error);
    options.progress = {};
    const SweepResult again = sweep(quick_plant(), options);
    EXPECT_GE(again.resumed, 64u);
    EXPECT_LT(again.resumed, 400u);
    options.store.clear();
    expect_same(again, sweep(quick_plant(), options));
}

TEST(Sweep, AStoreOfOtherInputsIsRefused) {
    const Folder folder;
    SweepOptions options = two_unknowns(16);
    options.store = folder.file;
    sweep(quick_plant(), options);
    const std::string text = text_of(folder.file);
    SweepOptions other = options;
    other.seed = 7;
    EXPECT_THROW(sweep(quick_plant(), other), InputError);
    plant::Plant larger = quick_plant();
    larger.risers[0].pipes[0].shape = plant::VolumeOnly{2.1};
    EXPECT_THROW(sweep(larger, options), InputError);
    EXPECT_EQ(text_of(folder.file), text);
    std::ofstream(folder.file) << "a letter to a friend\n";
    EXPECT_THROW(sweep(quick_plant(), options), InputError);
    EXPECT_EQ(text_of(folder.file), "a letter to a friend\n");
}

TEST(Sweep, ADamagedLineIsNamed) {
    const Folder folder;
    SweepOptions options = two_unknowns(16);
    options.store = folder.file;
    sweep(quick_plant(), options);
    std::ofstream(folder.file, std::ios::app) << "5,abc\n";
    try {
        sweep(quick_plant(), options);
        FAIL();
    } catch (const InputError& error) {
        EXPECT_THAT(error.what(), testing::HasSubstr("line 20 is damaged"));
    }
}

TEST(Sweep, ImpossibleOptionsAreRefused) {
    SweepOptions options;
    EXPECT_THROW(sweep(quick_plant(), options), InputError);
    options = two_unknowns(3);
    EXPECT_THROW(sweep(quick_plant(), options), InputError);
    options = two_unknowns(100);
    options.axes = {{"source.purity", {0.98}}};
    EXPECT_THROW(sweep(quick_plant(), options), InputError);
}

}  // namespace
}  // namespace oxfade::study
