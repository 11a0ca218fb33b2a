#include "oxfade/outcome/grouping.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace oxfade::outcome {
namespace {

std::vector<std::string> numbered(const std::string& before, int count, const std::string& after = "") {
    std::vector<std::string> names;
    for (int k = 1; k <= count; ++k) names.push_back(before + std::to_string(k) + after);
    return names;
}

Message message(const std::string& where, double value = 1.0, const std::string& text = "has no vent") {
    return {Code::no_way_out, Level::warning, where, text, {{value, Dimension::volume}}};
}

TEST(NameList, SaysOneNameAsItIs) { EXPECT_EQ(name_list({"far end"}), "far end"); }

TEST(NameList, PutsNumbersInARowTogether) {
    EXPECT_EQ(name_list(numbered("branch line ", 22)), "branch lines 1 to 22");
    EXPECT_EQ(name_list(numbered("Zweig ", 5)), "Zweig 1 to 5");
    EXPECT_EQ(name_list(numbered("bl ", 11, "A in")), "bl 1A in to bl 11A in");
}

TEST(NameList, KeepsGapsApart) {
    EXPECT_EQ(name_list({"line 1", "line 2", "line 3", "line 7"}), "lines 1 to 3 and line 7");
}

TEST(NameList, TakesTheNumberThatRuns) {
    EXPECT_EQ(name_list({"row 2 line 1", "row 2 line 2", "row 2 line 3"}), "row 2 lines 1 to 3");
    EXPECT_EQ(name_list({"line 1 part 2", "line 2 part 2", "line 3 part 2"}),
              "line 1 part 2 to line 3 part 2");
}

TEST(NameList, ListsOthersAndCutsLongLists) {
    EXPECT_EQ(name_list({"a", "b"}), "a and b");
    EXPECT_EQ(name_list({"a", "b", "c", "d"}), "a, b, c and d");
    EXPECT_EQ(name_list({"a", "b", "c", "d", "e", "f"}), "a, b, c and 3 more");
}

TEST(NameList, TakesPairsApart) {
    EXPECT_EQ(name_list({"branch lines 1-2", "branch lines 3-4", "branch lines 5-6"}), "branch lines 1 to 6");
    EXPECT_EQ(name_list({"branch lines 1-2"}), "branch lines 1-2");
    EXPECT_EQ(name_list({"size 6-4", "size 7-4"}), "size 6-4 and size 7-4");
}

TEST(NameList, LeavesLeadingZerosAndHugeNumbersAlone) {
    EXPECT_EQ(name_list({"p01", "p02", "p03"}), "p01, p02 and p03");
    EXPECT_EQ(name_list({"p12345678901234567890", "p2"}), "p12345678901234567890 and p2");
    EXPECT_EQ(name_list({}), "");
}

TEST(LineName, IsThatOfTheWholeLine) {
    plant::Riser riser;
    for (const char* name : {"main", "branch lines 1-2 piece 1", "branch lines 1-2", "sprigs"}) {
        riser.pipes.emplace_back();
        riser.pipes.back().name = name;
    }
    riser.pipes[1].count = 2;
    riser.pipes[3].count = 5;
    EXPECT_EQ(line_name(riser, 0), "main");
    EXPECT_EQ(line_name(riser, 1), "branch lines 1-2");
    EXPECT_EQ(line_name(riser, 3), "sprigs (10 equal)");
}

TEST(PrintsAlike, ComparesThreeDigits) {
    const double infinite = std::numeric_limits<double>::infinity();
    EXPECT_TRUE(prints_alike(1000.0, 1000.4));
    EXPECT_FALSE(prints_alike(1000.0, 1001.0));
    EXPECT_TRUE(prints_alike(infinite, infinite));
    EXPECT_FALSE(prints_alike(infinite, 1.0));
    EXPECT_TRUE(prints_alike(std::nan(""), std::nan("")));
    EXPECT_TRUE(prints_alike(0.0, 0.0));
}

TEST(Grouped, MakesOneOfTwentyTwo) {
    std::vector<Message> all;
    for (const std::string& name : numbered("branch line ", 22)) all.push_back(message("North / " + name));
    const auto one = grouped(all);
    ASSERT_EQ(one.size(), 1U);
    EXPECT_EQ(one[0].where, "North / branch lines 1 to 22");
    EXPECT_EQ(one[0].places.size(), 22U);
    EXPECT_EQ(one[0].places[21], "North / branch line 22");
}

TEST(Grouped, PutsEqualSystemsTogether) {
    std::vector<Message> all;
    for (const std::string& system : numbered("System ", 9)) {
        for (const std::string& name : numbered("line ", 30)) all.push_back(message(system + " / " + name));
    }
    all.push_back(message("Dock / line 4"));
    const auto one = grouped(all);
    ASSERT_EQ(one.size(), 1U);
    EXPECT_EQ(one[0].where, "Systems 1 to 9 / lines 1 to 30; Dock / line 4");
}

TEST(Grouped, KeepsOtherNumbersTextsAndLevelsApart) {
    std::vector<Message> all{message("N / a"), message("N / b", 2.0), message("N / c", 1.0, "else"),
                             message("N / d")};
    all.push_back(message("N / e"));
    all.back().level = Level::note;
    const auto some = grouped(all);
    ASSERT_EQ(some.size(), 4U);
    EXPECT_EQ(some[0].where, "N / a and d");
    EXPECT_TRUE(some[1].places.empty());
    EXPECT_EQ(some[3].where, "N / e");
}

TEST(Grouped, DoesNotTakeOnePurityForAnother) {
    Message a = message("N / a", 0.9998), b = message("N / b", 0.9999);
    a.values[0].dimension = b.values[0].dimension = Dimension::fraction;
    EXPECT_EQ(grouped({a, b}).size(), 2U);
}

TEST(Grouped, ChangesNothingTheSecondTime) {
    const auto once = grouped({message("N / line 1"), message("N / line 2"), message("N / line 3")});
    const auto twice = grouped(once);
    ASSERT_EQ(twice.size(), 1U);
    EXPECT_EQ(twice[0].where, once[0].where);
    EXPECT_EQ(twice[0].places, once[0].places);
}

}  // namespace
}  // namespace oxfade::outcome
