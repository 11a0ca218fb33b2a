#include "text/nearest.hpp"

#include <gtest/gtest.h>

namespace oxfade::text {
namespace {

TEST(EditDistance, CountsSingleLetterEdits) {
    EXPECT_EQ(edit_distance("", ""), 0U);
    EXPECT_EQ(edit_distance("vent", ""), 4U);
    EXPECT_EQ(edit_distance("vent", "vents"), 1U);
    EXPECT_EQ(edit_distance("diametre", "diameter"), 2U);
    EXPECT_EQ(edit_distance("PSIG", "psig"), 0U);
}

TEST(Nearest, GivesWhatWasMeant) {
    EXPECT_EQ(nearest("tempreture", {"pressure", "temperature", "reference"}), "temperature");
}

TEST(Nearest, GivesNothingWhenNothingIsNear) {
    EXPECT_EQ(nearest("colour", {"volume", "start"}), std::nullopt);
    EXPECT_EQ(nearest("c", {"a", "b"}), std::nullopt);
    EXPECT_EQ(nearest("a", {}), std::nullopt);
    EXPECT_EQ(nearest(std::string(100'000, 'a'), {"a"}), std::nullopt);
}

TEST(Suggest, ListsCandidatesWhenNoneIsNear) {
    EXPECT_EQ(suggest("mian", {"main", "far"}, "its pipes"), "did you mean `main`?");
    EXPECT_EQ(suggest("xyz", {"main", "far"}, "its pipes"), "its pipes: main, far");
}

}  // namespace
}  // namespace oxfade::text
