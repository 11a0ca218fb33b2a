// Mistakes in counts, rows of branch lines, pitch, elevations, sampling points and what else says how piping
// lies.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/scenario_text.hpp"

namespace oxfade {
namespace {

using sample::complaints;
using sample::only_complaint;
using sample::with;
using sample::with_added;
using testing::AllOf;
using testing::HasSubstr;
using testing::SizeIs;

constexpr const char* line_size = "nominal = \"1 in\"\nschedule = \"40\"\nlength = \"20 ft\"\n";

std::string with_row(const std::string& keys, const std::string& more = "") {
    return with(
        "volume = \"700 gal\"", "bore = \"4 in\"\nlength = \"100 ft\"",
        with_added("[[riser.branch_lines]]\nname = \"lines\"\nalong = \"main\"\n" + keys + "\n" + more));
}

std::string row_complaint(const std::string& keys) { return only_complaint(with_row(line_size + keys)); }

std::string east_with(const std::string& keys) { return with("\"80 m\"", "\"80 m\"\n" + keys); }

TEST(WrongRows, NumberAndSpacing) {
    EXPECT_THAT(row_complaint("sides = \"one\""),
                HasSubstr("lines.number: missing key; give `number`, `spacing`, or both"));
    EXPECT_THAT(row_complaint("number = 0"), HasSubstr("lines.number: is out of range"));
    EXPECT_THAT(row_complaint("number = 1001"), HasSubstr("a whole number from 1 to 1000"));
    EXPECT_THAT(row_complaint("number = \"six\""), HasSubstr("is not a whole number"));
    EXPECT_THAT(row_complaint("number = 5\nsides = \"both\""),
                HasSubstr("lines.number: must be even where lines leave on both sides"));
    EXPECT_THAT(row_complaint("number = 5\nspacing = \"-3 ft\""), HasSubstr("lines.spacing: is too short"));
    EXPECT_THAT(row_complaint("spacing = \"0.01 ft\""), HasSubstr("lines.spacing: makes 10000 branch lines"));
}

TEST(WrongRows, ASpacingThatDoesNotFitTheMain) {
    EXPECT_THAT(
        row_complaint("spacing = \"120 ft\""),
        HasSubstr("lines.spacing: does not fit the main (given: \"120 ft\"); at most 100 ft, the length of "
                  "`main`"));
    EXPECT_THAT(row_complaint("number = 12\nspacing = \"10 ft\""),
                AllOf(HasSubstr("lines.spacing: does not fit the main: 12 taps, 10 ft apart, need 110 ft"),
                      HasSubstr("`main` is 100 ft long: a spacing of at most 8.333 ft, or fewer lines")));
    EXPECT_THAT(row_complaint("number = 11\nspacing = \"10 ft\"\nfirst = \"10 ft\""),
                AllOf(HasSubstr("need 110 ft"), HasSubstr("a spacing of at most 9 ft")));
    EXPECT_THAT(row_complaint("number = 2\nfirst = \"101 ft\""),
                HasSubstr("lines.first: is beyond the end of the main"));
    EXPECT_THAT(row_complaint("number = 2\nfirst = \"0 ft\""), HasSubstr("lines.first: is too short"));
}

TEST(WrongRows, TheMain) {
    EXPECT_THAT(only_complaint(with_added(std::string("[[riser.branch_lines]]\nname = \"lines\"\nalong = "
                                                      "\"mian\"\nnumber = 2\n") +
                                          line_size)),
                AllOf(HasSubstr("lines.along: there is no pipe `mian` in the riser"), HasSubstr("`main`")));
    EXPECT_THAT(only_complaint(with_added(std::string("[[riser.branch_lines]]\nname = \"lines\"\nalong = "
                                                      "\"main\"\nnumber = 2\n") +
                                          line_size)),
                HasSubstr("lines.along: the pipe is given by its volume alone"));
    EXPECT_THAT(
        only_complaint(with("length = \"100 ft\"", "length = \"100 ft\"\ncells = 3",
                            with_row(std::string(line_size) + "number = 4"))),
        HasSubstr("pipe.main.cells: is less than the 4 segments into which branch lines part this pipe"));
}

TEST(WrongRows, SizesAndPieces) {
    EXPECT_THAT(only_complaint(with_row("number = 2")), HasSubstr("lines: the branch line has no size"));
    EXPECT_THAT(only_complaint(with_row("number = 2\npieces = []")),
                HasSubstr("lines.pieces: there is no piece"));
    EXPECT_THAT(
        only_complaint(with_row("number = 2\nlength = \"3 ft\"\npieces = [{ bore = \"1 in\", length = \"1 "
                                "ft\" }]")),
        HasSubstr("lines.length: a line of several pieces has no such key"));
    EXPECT_THAT(only_complaint(with_row("number = 2\npieces = [{ bore = \"1 in\", length = \"1 ft\", pich = "
                                        "\"1 %\" }]")),
                HasSubstr("lines.pieces.0.pich: unknown key"));
    // Once, though it is a mistake of two pipes; and at the key where it stands.
    EXPECT_THAT(only_complaint(with_row("number = 2\npieces = [{ bore = \"1 in\", length = \"-1 ft\" }]")),
                HasSubstr("lines.pieces.0.length: must be above 0 (given: \"-1 ft\")"));
    EXPECT_THAT(row_complaint("number = 2\npitch = \"200 %\""), HasSubstr("lines.pitch: is out of range"));
    EXPECT_THAT(row_complaint("number = 2\npitch = \"1 %\"\nposition = \"level\""),
                HasSubstr("`position` and `pitch` exclude each other"));
}

TEST(WrongRows, NamesOfLines) {
    const auto vent_at = [](const std::string& at) {
        return with_row(line_size + std::string("number = 4\nsides = \"both\""),
                        "[[riser.vent]]\nname = \"v\"\nat = \"" + at + "\"\ndiameter = \"0.02 in\"\n");
    };
    EXPECT_THAT(complaints(vent_at("lines 4")), SizeIs(0));
    EXPECT_THAT(only_complaint(vent_at("lines 5")), HasSubstr("vent.v.at: there is no pipe `lines 5`"));
    EXPECT_THAT(only_complaint(vent_at("lines")),
                AllOf(HasSubstr("vent.v.at: `lines` is a row of 4 branch lines"), HasSubstr("`lines 4`")));
    EXPECT_THAT(
        only_complaint(with("\"east\"", "\"lines 1\"", with_row(line_size + std::string("number = 4")))),
        HasSubstr("lines.name: `lines` stands for pipes such as `lines 1`, and that name is taken"));
}

TEST(WrongRows, TooManyPipes) {
    std::string pieces = "pieces = [\n";
    for (int i = 0; i < 30; ++i) pieces += "{ bore = \"1 in\", length = \"1 ft\" },\n";
    EXPECT_THAT(only_complaint(with_row("number = 1000\n" + pieces + "]")),
                HasSubstr("branch_lines.lines: all branch lines would be more than 20000 pipes"));
}

TEST(WrongRows, AreToldOnceWhateverNamesTheirLines) {
    EXPECT_THAT(
        complaints(with_row(std::string(line_size) + "number = 0",
                            "[[riser.vent]]\nname = \"v\"\nat = \"lines 4\"\ndiameter = \"0.02 in\"\n")),
        SizeIs(1));
}

TEST(WrongCounts, AreRefused) {
    EXPECT_THAT(complaints(east_with("count = 1000")), SizeIs(0));
    for (const char* count : {"0", "-2", "1001", "9223372036854775807"}) {
        EXPECT_THAT(only_complaint(east_with(std::string("count = ") + count)),
                    HasSubstr("east.count: is out of range (given: "));
    }
    EXPECT_THAT(only_complaint(east_with("count = 2.5")), HasSubstr("east.count: is not a whole number"));
    EXPECT_THAT(only_complaint(east_with("count = 200\ncells = 6000")),
                HasSubstr("riser: all pipes with their copies make 1200002 cells; at most 1000000"));
    EXPECT_THAT(only_complaint(with_added("[[riser.pipe]]\nname = \"a\"\nvolume = \"1 L\"\ncount = 1000\n"
                                          "[[riser.pipe]]\nname = \"b\"\nvolume = \"1 L\"\ncount = 1000\n"
                                          "[[riser.pipe]]\nname = \"c\"\nvolume = \"1 L\"\ncount = 1000\n")),
                HasSubstr("riser: all pipes with their copies make 1001001003 cells"));
}

TEST(WrongCounts, LoopsHaveNone) {
    std::string text = with("volume = \"700 gal\"", "bore = \"4 in\"\nlength = \"100 ft\"",
                            with_added("[[riser.link]]\nbetween = [\"far\", \"east\"]\n"));
    text = with("name = \"far\"", "name = \"far\"\nfrom = \"main\"", text);
    EXPECT_THAT(complaints(text), SizeIs(0));
    EXPECT_THAT(only_complaint(with("\"80 m\"", "\"80 m\"\ncount = 3", text)),
                AllOf(HasSubstr("link.0.between: the loop runs through a pipe with a `count`"),
                      HasSubstr("write the 3 pipes `east` out")));
    EXPECT_THAT(only_complaint(with("\"100 ft\"", "\"100 ft\"\ncount = 2", text)),
                HasSubstr("write the 2 pipes `main` out"));
}

TEST(WrongPitch, ContradictionsAndRanges) {
    EXPECT_THAT(complaints(east_with("pitch = \"-1/4 in / 10 ft\"")), SizeIs(0));
    EXPECT_THAT(only_complaint(east_with("pitch = \"1 %\"\nelevations = [\"1 m\", \"2 m\"]")),
                HasSubstr("`pitch` and `elevations` exclude each other"));
    EXPECT_THAT(only_complaint(east_with("position = \"drop\"\nelevations = [\"1 m\", \"2 m\"]")),
                HasSubstr("`position` and `elevations` exclude each other"));
    EXPECT_THAT(only_complaint(east_with("pitch = \"120 %\"")), HasSubstr("east.pitch: is out of range"));
    EXPECT_THAT(only_complaint(east_with("pitch = 0.01")), HasSubstr("east.pitch: "));
    EXPECT_THAT(only_complaint(east_with("position = \"down\"")), HasSubstr("\"down\""));
}

TEST(WrongElevations, AreToldWithTheirNumbers) {
    EXPECT_THAT(complaints(east_with("elevations = [\"1 m\", \"0.5 m\"]")), SizeIs(0));
    EXPECT_THAT(only_complaint(east_with("elevations = [\"1 m\"]")),
                HasSubstr("east.elevations: expected two elevations, got 1"));
    EXPECT_THAT(only_complaint(east_with("elevations = [\"1 m\", \"2 psi\"]")),
                HasSubstr("east.elevations: a length"));
    EXPECT_THAT(only_complaint(east_with("elevations = [\"1 m\", \"90 m\"]")),
                HasSubstr("east.elevations: the ends are 89 m apart in height, more than the pipe is long"));
    const auto joined = [](const char* main, const char* east) {
        return with("volume = \"700 gal\"",
                    std::string("bore = \"4 in\"\nlength = \"100 ft\"\nelevations = ") + main,
                    east_with(std::string("elevations = ") + east));
    };
    EXPECT_THAT(complaints(joined("[\"1 m\", \"2 m\"]", "[\"2.3 m\", \"2.4 m\"]")), SizeIs(0));
    EXPECT_THAT(only_complaint(joined("[\"1 m\", \"2 m\"]", "[\"2.4 m\", \"2.5 m\"]")),
                AllOf(HasSubstr("the near end is at 2.4 m, but `main`, which it hangs on, ends at 2 m"),
                      HasSubstr("at most 0.3048 m apart")));
}

TEST(WrongSamplingPoints, AreTold) {
    const auto sample_point = [](const std::string& keys) {
        return with_added("[[riser.sample]]\nname = \"port\"\n" + keys);
    };
    EXPECT_THAT(complaints(sample_point("at = \"east\"\ndistance = \"80 m\"")), SizeIs(0));
    EXPECT_THAT(only_complaint(sample_point("at = \"east\"\ndistance = \"81 m\"")),
                HasSubstr("sample.port.distance: is beyond the end of the pipe"));
    EXPECT_THAT(only_complaint(sample_point("at = \"east\"\ndistance = \"-1 m\"")),
                HasSubstr("sample.port.distance: must not be below 0"));
    EXPECT_THAT(only_complaint(sample_point("at = \"main\"\ndistance = \"1 m\"")),
                HasSubstr("sample.port.distance: the pipe is given by its volume alone"));
    EXPECT_THAT(only_complaint(sample_point("at = \"eats\"")),
                HasSubstr("sample.port.at: there is no pipe `eats`"));
    EXPECT_THAT(only_complaint(with_added("[[riser.sample]]\nname = \"end vent\"\nat = \"far\"\n")),
                HasSubstr("sample.end vent.name: a vent has this name"));
    EXPECT_THAT(
        only_complaint(with_row(std::string(line_size) + "number = 4",
                                "[[riser.sample]]\nname = \"port\"\nat = \"main\"\ndistance = \"101 ft\"\n")),
        HasSubstr("sample.port.distance: is beyond the end of `main`"));
}

TEST(WrongLeaks, Spread) {
    EXPECT_THAT(complaints(with("loss =", "spread = \"volume\"\nloss =")), SizeIs(0));
    EXPECT_THAT(only_complaint(with("loss =", "spread = \"joints\"\nloss =")),
                HasSubstr("leak.0.spread: pipe `main` is given by its volume alone"));
    EXPECT_THAT(only_complaint(with("loss =", "spread = \"area\"\nloss =")), HasSubstr("leak.0.spread"));
    EXPECT_THAT(only_complaint(with("loss =", "at = \"far\"\nspread = \"volume\"\nloss =")),
                HasSubstr("leak.0.spread: a leak at one pipe is not spread"));
}

TEST(WrongMixing, Ranges) {
    const auto mixing = [](const char* keys) { return with_added(std::string("[mixing]\n") + keys); };
    EXPECT_THAT(complaints(mixing("shear = false\nmouth = 4\nwarm_end = \"-2 degF\"")), SizeIs(0));
    EXPECT_THAT(only_complaint(mixing("mouth = 21")), HasSubstr("mixing.mouth: is out of range"));
    EXPECT_THAT(only_complaint(mixing("mouth = -1")), HasSubstr("from 0 to 20"));
    EXPECT_THAT(only_complaint(mixing("warm_end = \"11 K\"")), HasSubstr("mixing.warm_end: is out of range"));
    EXPECT_THAT(only_complaint(mixing("warm_end = 2")), HasSubstr("a temperature difference"));
    EXPECT_THAT(only_complaint(mixing("shear = \"no\"")), HasSubstr("mixing.shear"));
}

TEST(WrongTargetAt, IsTold) {
    EXPECT_THAT(complaints(with("target =", "target_at = \"readings\"\ntarget =")), SizeIs(0));
    EXPECT_THAT(only_complaint(with("target =", "target_at = \"mean\"\ntarget =")), HasSubstr("target_at"));
    const std::string text(sample::scenario_text);
    const auto vent = text.find("[[riser.vent]]"), leak = text.find("[[riser.leak]]");
    EXPECT_THAT(only_complaint(with("target =", "target_at = \"readings\"\ntarget =",
                                    std::string(text).erase(vent, leak - vent))),
                HasSubstr("target_at: riser `North` has no vent and no sampling point"));
}

}  // namespace
}  // namespace oxfade
