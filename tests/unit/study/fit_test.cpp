#include "oxfade/study/fit.hpp"

#include "support/field_plant.hpp"

namespace oxfade::study {
namespace {

TEST(Fit, ReadingsOfTheDesignedPlantAreSeenAsSuch) {
    const plant::Plant plant = sample::field_plant(8);
    const Fit found = fit(plant, sample::true_readings(plant, plant));
    EXPECT_EQ(found.explanations[0].fault.kind, FaultKind::none);
    EXPECT_EQ(found.explanations[0].odds_against, 1.0);
    EXPECT_LT(found.worst_residual, 0.05);
    for (const Estimate& estimate : found.estimates) {
        EXPECT_NEAR(estimate.value / estimate.designed, 1.0, 0.02);
        EXPECT_LT(estimate.low, estimate.designed);
        EXPECT_GT(estimate.high, estimate.designed);
    }
    const auto real = engine::predict(plant).risers[0].time_to_target;
    EXPECT_NEAR(*found.forecasts[0].middle / *real, 1.0, 0.1);
    // Vents and volume cannot be told apart.
    ASSERT_FALSE(found.confusions.empty());
    const Confusion& confusion = found.confusions[0];
    EXPECT_EQ(found.estimates[confusion.first].quantity, Quantity::vent_coefficient);
    EXPECT_EQ(found.estimates[confusion.second].quantity, Quantity::volume);
    EXPECT_GT(confusion.correlation, 0.8);
}

TEST(Fit, TheSizeOfAFaultIsFoundToo) {
    unsigned seed = 1;
    while (sample::field_plant(seed).risers[0].vents.size() < 2) ++seed;
    const plant::Plant plant = sample::field_plant(seed);
    const Fault fault{FaultKind::blocked_vent, 0, 1};
    FitOptions options;
    options.draws = 20;  // for forecasts, which are looked at above
    const Fit found = fit(plant, sample::true_readings(plant, with_fault(plant, fault, 0.2)), options);
    EXPECT_EQ(found.explanations[0].fault.kind, FaultKind::blocked_vent);
    EXPECT_EQ(found.explanations[0].fault.item, 1u);
    EXPECT_NEAR(*found.explanations[0].size, 0.2, 0.03);
    EXPECT_LT(found.explanations[0].size_low, 0.2);
    EXPECT_GT(found.explanations[0].size_high, 0.2);
    EXPECT_GT(found.explanations[1].odds_against, 100.0);
    EXPECT_EQ(found.not_told_apart, 1u);
}

TEST(Fit, ImpossibleInputIsRefused) {
    const plant::Plant plant = sample::field_plant(8);
    EXPECT_THROW(fit(plant, {}), InputError);
    auto readings = sample::true_readings(plant, plant);
    FitOptions options;
    options.confidence = 1.0;
    EXPECT_THROW(fit(plant, readings, options), InputError);
    readings[0].pipe = "elsewhere";
    EXPECT_THROW(fit(plant, readings), InputError);
}

}  // namespace
}  // namespace oxfade::study
