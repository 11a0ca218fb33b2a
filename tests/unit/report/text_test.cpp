#include "oxfade/report/text.hpp"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <sstream>

#include "sample_outcome.hpp"

namespace oxfade::report {
namespace {

using testing::HasSubstr;
using testing::Not;

std::string text_of(const outcome::Outcome& outcome, const plant::Plant& plant = test::sample_plant()) {
    return to_text(plant, outcome, units_of(plant, System::us));
}

std::size_t widest(const std::string& text) {
    std::size_t width = 0;
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) {
        const auto points = std::count_if(line.begin(), line.end(), [](char c) {
            return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
        });
        width = std::max(width, static_cast<std::size_t>(points));
    }
    return width;
}

TEST(ReportText, OpensWithTitleAndVerdict) {
    const std::string text = text_of(test::sample_outcome());
    EXPECT_EQ(text.rfind("Two systems over a store\n", 0), 0U);
    EXPECT_THAT(text,
                HasSubstr("MET: the target is met in every part of the piping 1 d 12.2 h after the start"));
    EXPECT_THAT(text, Not(HasSubstr("NOT MET")));
}

TEST(ReportText, GivesEachRiserItsNumbers) {
    const std::string text = text_of(test::sample_outcome());
    EXPECT_THAT(text, HasSubstr("in 24.8 min, within the limit of 30 min"));
    EXPECT_THAT(text, HasSubstr("in every part after 1 d 12.2 h (day 1.51), and stays there"));
    EXPECT_THAT(text, HasSubstr("'far', far end: 98.95 % nitrogen"));
    EXPECT_THAT(text, HasSubstr("29 to 30 psig after the fill"));
    EXPECT_THAT(text, HasSubstr("88 starts"));
    EXPECT_THAT(text, HasSubstr("248 kWh"));
}

TEST(ReportText, SaysWhatIsNotMetAndWhy) {
    outcome::Outcome outcome = test::sample_outcome();
    outcome.risers[1].time_to_target.reset();
    outcome.risers[1].at_target = {{5.0 * test::day, 6.0 * test::day}};
    outcome.risers[1].not_met_because = outcome::Code::air_after_fill;
    outcome.risers[0].fill_time = 2400.0;
    outcome.risers[0].fill_met = false;
    const std::string text = text_of(outcome);
    EXPECT_THAT(text, HasSubstr("NOT MET:"));
    EXPECT_THAT(text,
                HasSubstr("South: target not met in every part of the piping at the end: the source fell"));
    EXPECT_THAT(text, HasSubstr("North: filled in 40 min, OVER the limit of 30 min"));
    EXPECT_THAT(text, HasSubstr("it was from day 5 to day 6"));
}

TEST(ReportText, ShowsFindingsGravestFirst) {
    outcome::Outcome outcome = test::sample_outcome();
    outcome.messages.push_back({outcome::Code::run_too_short, outcome::Level::note, "North", "a note", {}});
    outcome.messages.push_back(
        {outcome::Code::no_way_out, outcome::Level::failure, "South", "a failure", {}});
    const std::string text = text_of(outcome);
    EXPECT_LT(text.find("failure: no-way-out (South)"), text.find("note: run-too-short (North)"));
}

TEST(ReportText, WarnsOfNitrogenAndClaimsNoApproval) {
    const std::string text = text_of(test::sample_outcome());
    EXPECT_THAT(text, HasSubstr("displaces the air people breathe"));
    EXPECT_THAT(text, HasSubstr("the authority having jurisdiction"));
}

TEST(ReportText, KeepsToEightyColumnsWhateverTheNames) {
    plant::Plant plant = test::sample_plant();
    outcome::Outcome outcome = test::sample_outcome();
    outcome.title = fmt::format("{:T<300} and more", "");
    outcome.risers[0].name.assign(200, 'N');
    outcome.risers[1].name = fmt::format("Süd — Kälte {:x<90}", "");
    outcome.risers[1].limiting_pipe = outcome.risers[1].pipes[1].name = std::string(120, 'p');
    outcome.risers[1].time_to_target.reset();
    outcome.risers[1].supplied = 1e15;
    outcome.messages.push_back({outcome::Code::no_way_out,
                                outcome::Level::failure,
                                std::string(150, 'w'),
                                fmt::format("a text of some length {:y<120}", ""),
                                {}});
    EXPECT_LE(widest(text_of(outcome, plant)), 80U);
}

TEST(ReportText, LetsNoControlCharactersThrough) {
    outcome::Outcome outcome = test::sample_outcome();
    outcome.title = "a\x1b[31mb";
    outcome.risers[0].name = "x\x1b\ny";
    const std::string text = text_of(outcome);
    EXPECT_EQ(text.find('\x1b'), std::string::npos);
}

TEST(ReportText, PlotsWorstAverageAndTarget) {
    const std::string text = text_of(test::sample_outcome());
    EXPECT_THAT(text, HasSubstr("* worst cell   o average   - target"));
    EXPECT_THAT(text, HasSubstr("2.5 % - - -"));
    EXPECT_THAT(text, HasSubstr("days"));
}

TEST(ReportText, DoesWithoutHistory) {
    outcome::Outcome outcome = test::sample_outcome();
    outcome.history = {};
    EXPECT_THAT(text_of(outcome), Not(HasSubstr("worst cell")));
}

TEST(ReportText, SpeaksSiWhenAsked) {
    const plant::Plant plant = test::sample_plant();
    const std::string text = to_text(plant, test::sample_outcome(), units_of(plant, System::si));
    EXPECT_THAT(text, HasSubstr("barg after the fill"));
    EXPECT_THAT(text, HasSubstr("2177 L of piping"));
    EXPECT_THAT(text, Not(HasSubstr("psi")));
}

TEST(ReportText, HasAReasonForEveryCode) {
    for (int code = 0; code <= static_cast<int>(outcome::Code::readings_mislead); ++code) {
        EXPECT_THAT(reason(static_cast<outcome::Code>(code)), Not(HasSubstr("no words")));
        EXPECT_NE(outcome::code_name(static_cast<outcome::Code>(code)), "unknown");
    }
}

TEST(ReportText, MakesOneLineOfAMessage) {
    const outcome::Message message{outcome::Code::no_way_out, outcome::Level::warning, "South", "shut", {}};
    EXPECT_EQ(message_line(message, Units{}), "warning: South: shut");
}

}  // namespace
}  // namespace oxfade::report
