#include "text/key_path.hpp"

#include <gtest/gtest.h>

namespace oxfade::text {
namespace {

using Segments = std::vector<std::string>;

TEST(KeyPath, JoinsWithDots) {
    EXPECT_EQ(join_path("", "site"), "site");
    EXPECT_EQ(join_path("riser.North.vent", "end vent"), "riser.North.vent.end vent");
}

TEST(KeyPath, QuotesSegmentsThatHaveDots) {
    EXPECT_EQ(join_path("riser", "No. 1"), "riser.'No. 1'");
    EXPECT_EQ(join_path("riser", "Bob's"), "riser.\"Bob's\"");
}

TEST(KeyPath, SplitsWhatItJoins) {
    EXPECT_EQ(split_path("riser.North.vent.'end vent'.diameter"),
              (Segments{"riser", "North", "vent", "end vent", "diameter"}));
    EXPECT_EQ(split_path("riser.\"No. 1\""), (Segments{"riser", "No. 1"}));
    EXPECT_EQ(split_path("riser.end vent"), (Segments{"riser", "end vent"}));
}

TEST(KeyPath, RefusesEmptySegmentsAndOpenQuotes) {
    for (const char* path : {"", ".", "a.", ".a", "a..b", "a.'b", "''", "'a'b"}) {
        EXPECT_EQ(split_path(path), std::nullopt) << path;
    }
}

TEST(KeyPath, CallsEntriesByNameOrIndex) {
    EXPECT_EQ(entry_segments({"a", "", "b", "a"}), (Segments{"a", "1", "b", "3"}));
}

}  // namespace
}  // namespace oxfade::text
