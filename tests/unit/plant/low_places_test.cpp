#include "oxfade/plant/low_places.hpp"

#include <gtest/gtest.h>

#include "support/plants.hpp"

namespace oxfade::plant {
namespace {

using sample::on;
using sample::tube;

Pipe pitched(Pipe pipe, double pitch) {
    pipe.pitch = pitch;
    return pipe;
}

Pipe between(Pipe pipe, double near, double far) {
    pipe.elevation = {near, far};
    return pipe;
}

Riser riser_of(std::vector<Pipe> pipes) { return sample::full_riser(std::move(pipes)); }

TEST(LowPlaces, PipingPitchedAsUsualHasNone) {
    EXPECT_TRUE(
        low_places(riser_of({pitched(tube("feed", 0.1, 5.0), 1.0), tube("main", 0.1, 30.0),
                             on(tube("line", 0.05, 10.0), "main"), on(tube("other", 0.05, 10.0), "main")}))
            .empty());
    EXPECT_TRUE(low_places(riser_of({})).empty());
    EXPECT_TRUE(low_places(riser_of({sample::vessel("main", 1.0), sample::vessel("far", 1.0)})).empty());
}

TEST(LowPlaces, APipeThatFallsWithSomethingBehind) {
    const auto places =
        low_places(riser_of({pitched(tube("main", 0.1, 30.0), 0.002), pitched(tube("down", 0.1, 2.0), -1.0),
                             pitched(tube("line", 0.05, 10.0), 0.01)}));
    ASSERT_EQ(places.size(), 1U);
    EXPECT_EQ(places[0].pipe, 1U);
    EXPECT_NEAR(places[0].depth, 2.0, 1e-12);
    EXPECT_FALSE(places[0].dead_end);
}

TEST(LowPlaces, ADeadEndThatFalls) {
    const auto places =
        low_places(riser_of({tube("main", 0.1, 30.0), pitched(tube("line", 0.05, 10.0), -0.01)}));
    ASSERT_EQ(places.size(), 1U);
    EXPECT_EQ(places[0].pipe, 1U);
    EXPECT_NEAR(places[0].depth, 0.1, 1e-12);
    EXPECT_TRUE(places[0].dead_end);
}

TEST(LowPlaces, WaterRunsOffToADeeperOne) {
    // Down to -1, up to -0.7, down to -3: the first spills over 0.3 m into the second, which spills at the
    // entry.
    const auto places =
        low_places(riser_of({pitched(tube("a", 0.1, 1.0), -1.0), pitched(tube("b", 0.1, 3.0), 0.1),
                             pitched(tube("c", 0.1, 2.3), -1.0), pitched(tube("d", 0.1, 1.0), 1.0)}));
    ASSERT_EQ(places.size(), 2U);
    EXPECT_EQ(places[0].pipe, 0U);
    EXPECT_NEAR(places[0].depth, 0.3, 1e-12);
    EXPECT_EQ(places[1].pipe, 2U);
    EXPECT_NEAR(places[1].depth, 3.0, 1e-12);
}

TEST(LowPlaces, FollowFromElevations) {
    const auto places = low_places(riser_of(
        {between(tube("main", 0.1, 30.0), 10.0, 9.9), between(tube("line", 0.05, 10.0), 9.9, 10.2)}));
    ASSERT_EQ(places.size(), 1U);
    EXPECT_EQ(places[0].pipe, 0U);
    EXPECT_NEAR(places[0].depth, 0.1, 1e-12);
}

TEST(LowPlaces, ALevelStretchIsOne) {
    const auto places =
        low_places(riser_of({pitched(tube("down", 0.1, 1.0), -1.0), pitched(tube("level", 0.1, 3.0), 0.0),
                             pitched(tube("up", 0.1, 1.0), 1.0)}));
    ASSERT_EQ(places.size(), 1U);
    EXPECT_EQ(places[0].pipe, 0U);
    EXPECT_TRUE(low_places(riser_of({pitched(tube("level", 0.1, 3.0), 0.0)})).empty());
}

TEST(LowPlaces, LoopsOfferASecondWayOut) {
    Riser riser =
        riser_of({pitched(tube("main", 0.1, 10.0), 0.1), on(pitched(tube("a", 0.1, 10.0), -0.05), "main"),
                  on(pitched(tube("b", 0.1, 10.0), 0.0), "main")});
    ASSERT_EQ(low_places(riser).size(), 1U);
    EXPECT_NEAR(low_places(riser)[0].depth, 0.5, 1e-12);
    riser.pipes[2].pitch = -0.08;
    riser.links.push_back({"a", "b"});
    const auto places = low_places(riser);  // a now runs off into b
    ASSERT_EQ(places.size(), 1U);
    EXPECT_EQ(places[0].pipe, 2U);
    EXPECT_NEAR(places[0].depth, 0.8, 1e-12);
}

}  // namespace
}  // namespace oxfade::plant
