#include "oxfade/study/compare.hpp"

#include "oxfade/engine/predict.hpp"
#include "support/plants.hpp"

namespace oxfade::study {
namespace {

std::size_t place(Measure measure) { return static_cast<std::size_t>(measure); }

TEST(Compare, ExposureIsOneOnAirAndThePurgesIntegralOtherwise) {
    plant::Plant plant = sample::purged_vessel(sample::purity_as_heavy_as_air(), sample::day);
    engine::Options options;
    options.history_points = 4001;
    const outcome::Outcome out = engine::predict(plant, options);
    // One mixed vessel at constant pressure: oxygen falls from air's to the product's as exp(-t/tau).
    const double air = gas::dry_air()[gas::Species::oxygen];
    const double product = 1.0 - sample::purity_as_heavy_as_air();
    const double start = out.history.oxygen.at(0, 0), end = out.history.oxygen.at(4000, 0);
    const double tau = sample::day / std::log((start - product) / (end - product));
    const double mean = product + (start - end) * tau / sample::day;
    EXPECT_NEAR(oxygen_exposure(plant, out), mean / air, 2e-4);

    plant.risers[0].vents.clear();
    EXPECT_NEAR(oxygen_exposure(plant, engine::predict(plant, options)), 1.0, 1e-9);
}

TEST(Compare, ListsDifferencesAndMarksTheBest) {
    const plant::Plant small = sample::purged_vessel(0.98, sample::day, 1e-3);
    plant::Plant large = sample::purged_vessel(0.98, sample::day, 2e-3);
    large.risers[0].leaks.push_back(sample::hole("main", 1e-4));
    const std::vector<Candidate> both{{"small", small}, {"large", large}};
    const Comparison result = compare(both);
    EXPECT_EQ(result.best[place(Measure::time_to_target)], 1u);
    EXPECT_EQ(result.best[place(Measure::nitrogen)], 0u);
    EXPECT_EQ(result.best[place(Measure::starts)], std::nullopt);
    ASSERT_EQ(result.differences.size(), 5u);
    EXPECT_EQ(result.differences[0].key, "riser.riser.vent.vent at main.diameter");
    EXPECT_EQ(result.differences[0].values[1]->value, 2e-3);
    EXPECT_EQ(result.differences[1].key, "riser.riser.leak.0.at");
    EXPECT_FALSE(result.differences[1].values[0].has_value());
}

TEST(Compare, NamesNoBestOfTwoThatTheSolverCannotTellApart) {
    const plant::Plant wide = sample::purged_vessel(0.98, sample::day, 2e-3);
    const plant::Plant near = sample::purged_vessel(0.98, sample::day, 2e-3 * (1.0 + 1e-7));
    const plant::Plant narrow = sample::purged_vessel(0.98, sample::day, 1e-3);
    const std::vector<Candidate> three{{"wide", wide}, {"near", near}, {"narrow", narrow}};
    const Comparison result = compare(three);
    EXPECT_EQ(result.best[place(Measure::time_to_target)], std::nullopt);
    EXPECT_EQ(result.best[place(Measure::nitrogen)], 2u);
}

TEST(Compare, NeedsTwo) {
    const std::vector<Candidate> one{{"a", sample::purged_vessel(0.98, sample::day)}};
    EXPECT_THROW(compare(one), InputError);
}

}  // namespace
}  // namespace oxfade::study
