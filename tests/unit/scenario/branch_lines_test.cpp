// A row of branch lines stands for plain pipes.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <numeric>

#include "support/scenario_text.hpp"

namespace oxfade {
namespace {

using plant::Pipe;
using plant::Riser;
using testing::ElementsAre;

constexpr double foot = 0.3048, inch = 0.0254;

/// The sample with a round main 100 ft long in the place of its first pipe, and lines added at the end.
std::string with_row(const std::string& row, const std::string& more = "") {
    return sample::with("volume = \"700 gal\"", "bore = \"4 in\"\nlength = \"100 ft\"",
                        sample::with_added("[[riser.branch_lines]]\nname = \"lines\"\nalong = \"main\"\n" +
                                           row + "\n" + more));
}

constexpr const char* one_size = "nominal = \"1 in\"\nschedule = \"40\"\nlength = \"20 ft\"\n";
constexpr const char* stepped =
    "schedule = \"40\"\npieces = [{ nominal = \"1 1/4 in\", length = \"12 ft\" }, { nominal = \"1 in\", "
    "length = "
    "\"8 ft\", pitch = \"0 %\" }]\n";

Riser riser_of(const std::string& text) { return sample::read(text).plant.risers.at(0); }

const Pipe& pipe_of(const Riser& riser, const std::string& name) {
    const auto index = riser.pipe_index(name);
    if (!index) throw std::logic_error("there is no pipe " + name);
    return riser.pipes[*index];
}

std::vector<std::string> names_of(const Riser& riser) {
    std::vector<std::string> names;
    for (const Pipe& pipe : riser.pipes) names.push_back(pipe.name);
    return names;
}

/// Lengths of the segments of the main in feet.
std::vector<double> segments_of(const Riser& riser) {
    std::vector<double> feet;
    for (const Pipe& pipe : riser.pipes) {
        if (!pipe.name.starts_with("main")) continue;
        feet.push_back(std::round(1e6 * pipe.geometry()->length / foot) / 1e6);
    }
    return feet;
}

TEST(BranchLines, StandForPlainPipes) {
    const Riser riser = riser_of(with_row(std::string(one_size) + "number = 2"));
    EXPECT_THAT(names_of(riser), ElementsAre("main 1", "main", "far", "east", "lines 1", "lines 2"));
    EXPECT_THAT(segments_of(riser), ElementsAre(50.0, 50.0));
    EXPECT_EQ(pipe_of(riser, "main").from, "main 1");
    EXPECT_EQ(pipe_of(riser, "lines 1").from, "main 1");
    EXPECT_EQ(pipe_of(riser, "lines 2").from, "main");
    EXPECT_EQ(riser.parent_index(*riser.pipe_index("far")), riser.pipe_index("main"));
    EXPECT_EQ(pipe_of(riser, "lines 1").count, 1);
    EXPECT_EQ(pipe_of(riser, "lines 1").cells, std::nullopt);
    EXPECT_NEAR(pipe_of(riser, "lines 1").geometry()->bore, 1.049 * inch, 1e-12);
    EXPECT_NEAR(pipe_of(riser, "lines 1").geometry()->length, 20 * foot, 1e-12);
}

TEST(BranchLines, TapsAreAtTheirTruePlaces) {
    const auto taps = [](const std::string& keys) {
        return segments_of(riser_of(with_row(std::string(one_size) + keys)));
    };
    EXPECT_THAT(taps("number = 4"), ElementsAre(25.0, 25.0, 25.0, 25.0));
    EXPECT_THAT(taps("number = 4\nsides = \"both\""), ElementsAre(50.0, 50.0));
    EXPECT_THAT(taps("number = 1"), ElementsAre(100.0));
    EXPECT_THAT(taps("number = 1\nfirst = \"30 ft\""), ElementsAre(30.0, 70.0));
    EXPECT_THAT(taps("number = 3\nfirst = \"20 ft\""), ElementsAre(20.0, 40.0, 40.0));
    EXPECT_THAT(taps("spacing = \"30 ft\""), ElementsAre(10.0, 30.0, 30.0, 30.0));
    EXPECT_THAT(taps("spacing = \"50 ft\""), ElementsAre(50.0, 50.0));
    EXPECT_THAT(taps("spacing = \"100 ft\""), ElementsAre(100.0));
    EXPECT_THAT(taps("spacing = \"30 ft\"\nfirst = \"5 ft\""), ElementsAre(5.0, 30.0, 30.0, 30.0, 5.0));
    EXPECT_THAT(taps("number = 2\nspacing = \"30 ft\""), ElementsAre(70.0, 30.0));
    EXPECT_THAT(taps("number = 2\nspacing = \"30 ft\"\nfirst = \"5 ft\""), ElementsAre(5.0, 30.0, 65.0));
}

TEST(BranchLines, LinesThatFaceEachOtherAreOnePipe) {
    const Riser riser = riser_of(with_row(std::string(stepped) + "number = 4\nsides = \"both\""));
    EXPECT_THAT(names_of(riser), ElementsAre("main 1", "main", "far", "east", "lines 1-2 piece 1",
                                             "lines 1-2", "lines 3-4 piece 1", "lines 3-4"));
    EXPECT_EQ(pipe_of(riser, "lines 1-2 piece 1").count, 2);
    EXPECT_EQ(pipe_of(riser, "lines 1-2 piece 1").from, "main 1");
    EXPECT_EQ(pipe_of(riser, "lines 1-2").count, 1);
    EXPECT_EQ(pipe_of(riser, "lines 1-2").from, "lines 1-2 piece 1");
    EXPECT_EQ(riser.copies()[*riser.pipe_index("lines 1-2")], 2);
    EXPECT_NEAR(pipe_of(riser, "lines 3-4").geometry()->length, 8 * foot, 1e-12);
    EXPECT_EQ(pipe_of(riser, "lines 1-2").pitch, 0.0);
    EXPECT_EQ(pipe_of(riser, "lines 1-2 piece 1").pitch, std::nullopt);
}

TEST(BranchLines, PitchOfTheRowIsThatOfItsPieces) {
    const Riser riser = riser_of(with_row(std::string(stepped) + "number = 2\npitch = \"-1/2 in / 10 ft\""));
    EXPECT_NEAR(pipe_of(riser, "lines 1 piece 1").pitch.value(), -0.5 / 120, 1e-15);
    EXPECT_EQ(pipe_of(riser, "lines 1").pitch, 0.0);
}

TEST(BranchLines, ALineThatIsNamedIsWrittenOut) {
    const std::string row = std::string(stepped) + "number = 6\nsides = \"both\"\n";
    const auto vent_at = [&](const std::string& at) {
        return riser_of(
            with_row(row, "[[riser.vent]]\nname = \"v\"\nat = \"" + at + "\"\ndiameter = \"0.02 in\"\n"));
    };
    Riser riser = vent_at("lines 4");
    EXPECT_EQ(riser.vents.back().at, "lines 4");
    EXPECT_EQ(pipe_of(riser, "lines 3 piece 1").count, 1);
    EXPECT_EQ(pipe_of(riser, "lines 4 piece 1").count, 1);
    EXPECT_EQ(pipe_of(riser, "lines 1-2 piece 1").count, 2);
    EXPECT_EQ(pipe_of(riser, "lines 5-6 piece 1").count, 2);
    riser = vent_at("lines 3-4");
    EXPECT_EQ(pipe_of(riser, "lines 3-4 piece 1").count, 2);
    riser = vent_at("lines 4 piece 1");
    EXPECT_EQ(pipe_of(riser, "lines 4 piece 1").count, 1);
    riser = vent_at("lines 4 piece 2");  // the last piece is the line's end
    EXPECT_EQ(riser.vents.back().at, "lines 4");
}

TEST(BranchLines, MainKeepsItsNameAtItsFarEnd) {
    Riser riser =
        riser_of(with_row(std::string(one_size) + "number = 4",
                          "[[riser.leak]]\ndiameter = \"0.1 mm\"\nat = \"main\"\n[[riser.leak]]\ndiameter "
                          "= \"0.1 mm\"\nat = \"main 2\"\n[[riser.leak]]\ndiameter = \"0.1 mm\"\nat = "
                          "\"main 4\"\n"));
    ASSERT_EQ(riser.leaks.size(), 4U);
    EXPECT_EQ(riser.leaks[1].at, "main");
    EXPECT_EQ(riser.leaks[2].at, "main 2");
    EXPECT_EQ(riser.leaks[3].at, "main");
    EXPECT_EQ(pipe_of(riser, "east").from, "main");
}

TEST(BranchLines, SamplingPointsLieWhereTheirDistanceEnds) {
    const auto sample_at = [](const std::string& at, const std::string& distance) {
        const Riser riser = riser_of(with_row(
            std::string(stepped) + "number = 4",
            "[[riser.sample]]\nname = \"port\"\nat = \"" + at + "\"\ndistance = \"" + distance + "\"\n"));
        return std::pair(riser.samples.at(0).at, std::round(1e6 * *riser.samples[0].distance / foot) / 1e6);
    };
    EXPECT_EQ(sample_at("main", "60 ft"), std::pair(std::string("main 3"), 10.0));
    EXPECT_EQ(sample_at("main", "100 ft"), std::pair(std::string("main"), 25.0));
    EXPECT_EQ(sample_at("main 2", "5 ft"), std::pair(std::string("main 2"), 5.0));
    EXPECT_EQ(sample_at("lines 2", "15 ft"), std::pair(std::string("lines 2"), 3.0));
    EXPECT_EQ(sample_at("lines 2", "5 ft"), std::pair(std::string("lines 2 piece 1"), 5.0));
    EXPECT_EQ(sample_at("lines 2 piece 2", "5 ft"), std::pair(std::string("lines 2"), 5.0));
}

TEST(BranchLines, LowPointOfAMainOrALineIsAtItsMouth) {
    const auto low_point_on = [](const std::string& on) {
        std::string text =
            with_row(std::string(stepped) + "number = 4", "[[riser.low_point]]\nname = \"dip\"\non = \"" +
                                                              on + "\"\nwater = \"1 mL\"\nrise = \"1 in\"\n");
        text = sample::with(
            "[[riser.pipe]]\nname = \"main\"",
            "[[riser.pipe]]\nname = \"feed\"\nvolume = \"50 gal\"\n[[riser.pipe]]\nname = \"main\"", text);
        return riser_of(text).low_points.at(0).on;
    };
    EXPECT_EQ(low_point_on("main"), "main 1");
    EXPECT_EQ(low_point_on("main 4"), "main");
    EXPECT_EQ(low_point_on("lines 2"), "lines 2 piece 1");
    EXPECT_EQ(low_point_on("lines 2 piece 2"), "lines 2");
}

TEST(BranchLines, RowsMayShareAMain) {
    const Riser riser =
        riser_of(with_row(std::string(one_size) + "number = 4",
                          "[[riser.branch_lines]]\nname = \"short\"\nalong = \"main\"\nnumber = 3\n"
                          "first = \"10 ft\"\nspacing = \"15 ft\"\nbore = \"1 in\"\nlength = \"9 ft\""));
    EXPECT_THAT(segments_of(riser), ElementsAre(10.0, 15.0, 15.0, 10.0, 25.0, 25.0));
    EXPECT_EQ(pipe_of(riser, "short 2").from, "main 2");
    EXPECT_EQ(pipe_of(riser, "lines 1").from, "main 2");
    EXPECT_EQ(pipe_of(riser, "lines 4").from, "main");
}

TEST(BranchLines, CellsElevationsAndCountOfAMainAreDealtOut) {
    std::string text = with_row(std::string(one_size) + "number = 2\nfirst = \"20 ft\"");
    text =
        sample::with("length = \"100 ft\"",
                     "length = \"100 ft\"\ncells = 10\ncount = 3\nelevations = [\"10 ft\", \"12 ft\"]", text);
    const Riser riser = riser_of(text);
    EXPECT_EQ(pipe_of(riser, "main 1").cells, 2);
    EXPECT_EQ(pipe_of(riser, "main").cells, 8);
    EXPECT_EQ(pipe_of(riser, "main 1").count, 3);
    EXPECT_EQ(pipe_of(riser, "main").count, 1);
    EXPECT_NEAR(pipe_of(riser, "main").elevation.value()[0], 10.4 * foot, 1e-12);
    EXPECT_NEAR(pipe_of(riser, "main").elevation.value()[1], 12 * foot, 1e-12);
    EXPECT_EQ(riser.copies()[*riser.pipe_index("lines 2")], 3);
}

TEST(BranchLines, KeysOfARowCanBeSet) {
    const std::string text = with_row(std::string(stepped) + "number = 4");
    const auto riser = sample::read(text, {{"riser.North.branch_lines.lines.number", "2"},
                                           {"riser.North.branch_lines.lines.pieces.1.length", "30 ft"}})
                           .plant.risers.at(0);
    EXPECT_EQ(riser.pipe_index("lines 3"), std::nullopt);
    EXPECT_NEAR(pipe_of(riser, "lines 2").geometry()->length, 30 * foot, 1e-12);
}

TEST(BranchLines, VolumeIsThatOfTheTreeWrittenOut) {
    const Riser riser = riser_of(with_row(std::string(stepped) + "number = 6\nsides = \"both\""));
    const Riser plain = riser_of(with_row("volume = \"1 mL\"\nnumber = 1"));
    const double line = pipe_of(riser, "lines 1-2").volume() + pipe_of(riser, "lines 1-2 piece 1").volume();
    EXPECT_NEAR(riser.volume(), plain.volume() - 1e-6 + 6 * line, 1e-12);
}

}  // namespace
}  // namespace oxfade
