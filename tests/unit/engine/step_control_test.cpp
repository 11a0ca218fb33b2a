#include "engine/step_control.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace {

using oxfade::engine::StepControl;

TEST(StepControl, AimsALittleBelowTheErrorAllowed) {
    StepControl control;
    EXPECT_TRUE(control.take(10.0, 0.125));
    EXPECT_NEAR(control.wanted(), 0.9 * 2.0 * 10.0, 1e-12);
    EXPECT_FALSE(control.take(18.0, 8.0));
    EXPECT_NEAR(control.wanted(), 0.9 * 0.5 * 18.0, 1e-12);
    EXPECT_FALSE(control.take(8.0, 1e9));
    EXPECT_NEAR(control.wanted(), 0.2 * 8.0, 1e-12);
    EXPECT_TRUE(control.take(1.6, 0.0));
    EXPECT_NEAR(control.wanted(), 5.0 * 1.6, 1e-12);
}

TEST(StepControl, AStepCutShortSaysLittle) {
    StepControl control;
    control.take(10.0, 0.729);
    EXPECT_TRUE(control.take(0.1, 0.729));
    EXPECT_NEAR(control.wanted(), 10.0, 1e-12);
}

TEST(StepControl, LegsBeginAsThoseLikeThemDid) {
    StepControl control;
    control.turn(1);
    control.take(1e-3, 0.729);
    const double begin = control.wanted();
    for (int k = 0; k < 10; ++k) control.take(control.wanted(), 0.0);
    const double late = control.wanted();
    control.turn(2);  // nothing is known of these
    EXPECT_EQ(control.wanted(), late);
    control.take(late, 0.729);
    control.turn(1);
    EXPECT_EQ(control.wanted(), begin);
}

}  // namespace
