#include "oxfade/engine/cost.hpp"

#include <gtest/gtest.h>

#include "support/plants.hpp"

namespace oxfade::engine {
namespace {

using namespace oxfade::sample;

TEST(Cost, GrowsWithOpeningsCompartmentsAndTime) {
    plant::Plant plant = two_pipe_riser(0.03 * inch);
    const double ordinary = estimated_time(plant);
    EXPECT_GT(ordinary, 1e-4);
    EXPECT_LT(ordinary, 0.1);
    plant.risers[0].pipes[1].cells = 1000;
    EXPECT_GT(estimated_time(plant), 50.0 * ordinary);
    plant.risers[0].pipes[1].cells = 1;
    plant.risers[0].vents[0].policy = plant::OpenTimed{1.0, 0.5};
    const double timed = estimated_time(plant);
    EXPECT_GT(timed, 1.0);  // 1.8 million openings
    EXPECT_LT(timed, 60.0);
    plant.duration *= 2.0;
    EXPECT_NEAR(estimated_time(plant) / timed, 2.0, 0.01);
}

}  // namespace
}  // namespace oxfade::engine
