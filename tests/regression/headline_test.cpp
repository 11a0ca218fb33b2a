// Headline numbers of a few fixed plants, so that no change moves them unseen.
#include <cmath>

#include "support/mesh.hpp"
#include "support/plants.hpp"
#include "support/run.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

TEST(TwoPipeRiser, FillTimeDoesNotDependOnTheVent) {
    for (const double vent : {0.03, 0.05, 0.08}) {
        const auto out = run(two_pipe_riser(vent * inch));
        EXPECT_NEAR(out.risers[0].fill_time.value_or(0.0) / 1490.48, 1.0, 1e-4) << vent;
        EXPECT_TRUE(out.risers[0].fill_met);
    }
}

TEST(TwoPipeRiser, MediumVentMeetsTheTargetInUnderAFortnightsDay) {
    const auto out = run(two_pipe_riser(0.05 * inch));
    EXPECT_NEAR(out.risers[0].time_to_target.value_or(0.0) / 49685.7, 1.0, 1e-3);
    EXPECT_FALSE(out.risers[0].not_met_because);
    EXPECT_TRUE(out.all_met());
}

TEST(TwoPipeRiser, SmallVentTakesLonger) {
    const auto out = run(two_pipe_riser(0.03 * inch));
    EXPECT_NEAR(out.risers[0].time_to_target.value_or(0.0) / 130307.0, 1.0, 1e-3);
    EXPECT_EQ(out.source.air_after_fill, 0.0);
}

TEST(TwoPipeRiser, LargeVentTakesMoreThanTheSeparatorMakes) {
    const auto out = run(two_pipe_riser(0.08 * inch));
    const auto& riser = out.risers[0];
    EXPECT_FALSE(riser.time_to_target);
    EXPECT_EQ(riser.not_met_because, outcome::Code::vents_above_separator);
    const auto& worst = riser.limiting_pipe == "near" ? riser.pipes[0] : riser.pipes[1];
    EXPECT_NEAR(worst.oxygen[0] / 0.14357, 1.0, 5e-3);
    EXPECT_GT(out.source.air_after_fill, day);
}

}  // namespace
