// Whether water closes a dip, told from readings: of plants whose water the engine computes in full (seals
// that bubble, gas behind them that keeps its oxygen), not of plants with the branch taken away as `fit`
// tries them.
#include <gtest/gtest.h>

#include "oxfade/study/fit.hpp"
#include "support/field_plant.hpp"

namespace oxfade::study {
namespace {

constexpr double litre = 1e-3;

/// Field plants with a vent on each of two branches or more, the first of them by their seeds.
std::vector<unsigned> branching(std::size_t wanted) {
    std::vector<unsigned> seeds;
    for (unsigned seed = 1; seeds.size() < wanted; ++seed) {
        if (sample::field_plant(seed).risers[0].vents.size() > 1) seeds.push_back(seed);
    }
    return seeds;
}

/// Water in a dip before the last branch; what the filling carries over shuts the liquid stop of the vent
/// there. (Gas would bubble on to a vent without one, and readings would show nothing.)
plant::Plant with_dip(plant::Plant plant) {
    plant::Riser& riser = plant.risers[0];
    riser.vents.back().liquid_stop = true;
    riser.low_points.push_back({"dip", riser.pipes.back().name, 2.0 * litre, plant::WaterRise{0.3}});
    return plant;
}

Fit fit_noisy(const plant::Plant& designed, const plant::Plant& truth, unsigned seed) {
    sample::Dice dice = sample::dice_for(4, seed);
    auto readings = sample::true_readings(designed, truth);
    sample::add_noise(readings, dice);
    return fit(designed, readings);
}

TEST(FitLowPoints, WaterThatNobodyKnewOfIsFound) {
    for (const unsigned seed : branching(2)) {
        const plant::Plant designed = sample::field_plant(seed);
        const Fit found = fit_noisy(designed, with_dip(designed), seed);
        const Fault& best = found.explanations[0].fault;
        EXPECT_EQ(best.kind, FaultKind::closed_branch) << seed << ": " << found.explanations[0].words;
        EXPECT_EQ(best.item, designed.risers[0].pipes.size() - 1) << seed;
        // A vent blocked at the end of an open branch is the one thing that reads alike.
        for (std::size_t k = 1; k < found.not_told_apart; ++k)
            EXPECT_EQ(found.explanations[k].fault.kind, FaultKind::blocked_vent)
                << found.explanations[k].words;
    }
}

TEST(FitLowPoints, ADipThatIsDryIsFound) {
    for (const unsigned seed : branching(2)) {
        const plant::Plant truth = sample::field_plant(seed);
        const Fit found = fit_noisy(with_dip(truth), truth, seed);
        EXPECT_EQ(found.explanations[0].words, "'dip' of 'riser' holds no water") << seed;
        EXPECT_EQ(found.not_told_apart, 1U) << seed;
    }
}

TEST(FitLowPoints, AsDesignedIsSaidOfADipAsDescribed) {
    for (const unsigned seed : branching(1)) {
        const plant::Plant plant = with_dip(sample::field_plant(seed));
        const Fit found = fit_noisy(plant, plant, seed);
        // A branch taken away reads like one behind a dip that stays closed: either may come first.
        bool told = false;
        for (std::size_t k = 0; k < found.not_told_apart; ++k)
            told = told || found.explanations[k].fault.kind == FaultKind::none;
        EXPECT_TRUE(told) << seed << ": " << found.explanations[0].words;
        EXPECT_NE(found.explanations[0].fault.kind, FaultKind::dry_low_point) << seed;
    }
}

}  // namespace
}  // namespace oxfade::study
