// What a draft says of piping is as built when it is read again.
#include "oxfade/scenario/draft.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "oxfade/error.hpp"
#include "oxfade/scenario/read.hpp"

namespace oxfade::scenario {
namespace {

using testing::HasSubstr;

constexpr double foot = 0.3048, inch = 0.0254;

plant::Riser riser_of(const std::string& system, UnitSystem units = UnitSystem::us) {
    return read_text(draft_text({{"system", system}}, units), "draft").plant.risers.at(0);
}

std::string fault_of(const Question& question, std::string_view answer) {
    const auto fault = find_fault(question, answer);
    return fault ? fault->what + "; " + fault->allowed : "";
}

const Question& system_question() {
    for (const Question& question : draft_questions()) {
        if (question.key == "system") return question;
    }
    throw std::logic_error("there is no question about systems");
}

TEST(Draft, BranchLinesHangSideBySide) {
    const auto riser = riser_of(
        "Dock: 6 in x 20 ft, 4 in x 100 ft; 10 lines on both sides of 1 1/4 in x 24 ft, 1 in sch 40 x 12 ft");
    const auto first = riser.pipe_index("lines 1-2 piece 1"), last = riser.pipe_index("lines 9-10");
    ASSERT_TRUE(first && last);
    EXPECT_EQ(riser.pipes[*first].count, 2);
    EXPECT_EQ(riser.pipes[*first].from, "cross main 1");
    EXPECT_NEAR(riser.pipes[*riser.pipe_index("cross main 1")].geometry()->length, 20 * foot, 1e-9);
    EXPECT_NEAR(riser.pipes[*first].geometry()->bore, 1.38 * inch, 1e-9);
    EXPECT_NEAR(riser.pipes[*last].geometry()->length, 12 * foot, 1e-9);
    EXPECT_EQ(riser.vents.at(0).at, "cross main");
    for (const auto& pipe : riser.pipes) EXPECT_EQ(pipe.cells, std::nullopt);
}

TEST(Draft, SidesFollowFromTheNumberUnlessSaid) {
    EXPECT_TRUE(riser_of("Dock: 4 in x 100 ft; 4 lines of 1 in x 12 ft").pipe_index("lines 3-4"));
    EXPECT_TRUE(riser_of("Dock: 4 in x 100 ft; 5 lines of 1 in x 12 ft").pipe_index("lines 5"));
    EXPECT_TRUE(riser_of("Dock: 4 in x 100 ft; 4 lines on one side of 1 in x 12 ft").pipe_index("lines 4"));
    EXPECT_TRUE(riser_of("Dock: 4 in x 100 ft; 1 branch line of 1 in x 12 ft").pipe_index("lines 1"));
    EXPECT_EQ(riser_of("Dock: 4 in x 100 ft; none").pipes.size(), 1U);
    EXPECT_EQ(riser_of("Dock: 4 in x 100 ft, 30 gal").pipes.size(), 2U);
}

TEST(Draft, UsualAnswersAreBranchLinesToo) {
    for (const UnitSystem units : {UnitSystem::us, UnitSystem::si}) {
        const std::string usual(usual_answer(system_question(), units));
        EXPECT_TRUE(riser_of(usual, units).pipe_index("lines 29-30"));
        EXPECT_EQ(fault_of(branch_line_question(), usual_answer(branch_line_question(), units)), "");
    }
}

TEST(Draft, AsksForBranchLinesWhereAMainCanHaveThem) {
    EXPECT_TRUE(lacks_branch_lines("Dock: 4 in x 100 ft"));
    EXPECT_FALSE(lacks_branch_lines("Dock: 4 in x 100 ft; none"));
    EXPECT_FALSE(lacks_branch_lines("Dock: 4 in x 100 ft; 4 lines of 1 in x 12 ft"));
    EXPECT_FALSE(lacks_branch_lines("Dock: 4 in x 100 ft, 30 gal"));
    EXPECT_FALSE(lacks_branch_lines("no system"));
}

TEST(Draft, SaysWhatIsWrongWithBranchLines) {
    const auto fault = [](std::string_view answer) { return fault_of(branch_line_question(), answer); };
    EXPECT_EQ(fault("none"), "");
    EXPECT_THAT(fault("many"),
                HasSubstr("`many` does not describe branch lines; NUMBER lines of SIZE x LENGTH"));
    EXPECT_THAT(fault("4 lines"), HasSubstr("does not describe branch lines"));
    EXPECT_THAT(fault("0 lines of 1 in x 12 ft"), HasSubstr("0 is not a number of branch lines"));
    EXPECT_THAT(fault("2.5 lines of 1 in x 12 ft"), HasSubstr("a whole number from 1 to 1000"));
    EXPECT_THAT(fault("5 lines on both sides of 1 in x 12 ft"), HasSubstr("an odd number of branch lines"));
    EXPECT_THAT(fault("4 lines of 3 gal"), HasSubstr("`3 gal` says nothing of size and length"));
    EXPECT_THAT(fault("4 lines of 1 in x 12 psi"), HasSubstr("`12 psi` is not a length"));
    EXPECT_THAT(fault_of(system_question(), "Dock: 30 gal; 4 lines of 1 in x 12 ft"),
                HasSubstr("branch lines need a main with a size and a length"));
}

}  // namespace
}  // namespace oxfade::scenario
