#include "oxfade/scenario/takeoff.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>

#include "oxfade/error.hpp"
#include "oxfade/plant/pipe_sizes.hpp"
#include "oxfade/scenario/read.hpp"
#include "support/scenario_text.hpp"
#include "support/source_folder.hpp"

namespace oxfade::scenario {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using testing::UnorderedElementsAre;

TakeoffSystem only_system(const std::string& csv, const TakeoffOptions& options = {}) {
    Takeoff takeoff = read_takeoff_text(csv, "pipes.csv", options);
    EXPECT_EQ(takeoff.systems.size(), 1U);
    return std::move(takeoff.systems.at(0));
}

/// All that is said of a takeoff, one problem a line.
std::string complaints(const std::string& csv, const TakeoffOptions& options = {}) {
    try {
        (void)read_takeoff_text(csv, "pipes.csv", options);
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

const plant::Pipe& pipe(const TakeoffSystem& system, const std::string& name) {
    const auto index = system.piping.pipe_index(name);
    if (!index) throw std::logic_error("there is no pipe " + name);
    return system.piping.pipes[*index];
}

double length(const TakeoffSystem& system, const std::string& name) {
    return pipe(system, name).geometry()->length;
}

constexpr const char* drawn_head = "name,kind,size,schedule,x1 [m],y1 [m],z1 [m],x2 [m],y2 [m],z2 [m]\n";

TEST(Takeoff, RowsHangOnEachOtherByName) {
    const auto system = only_system(
        "from;schedule;name;length [m];size;position\n"
        "feed;10;main;30;DN80;\n"
        ";10;riser;6;DN100;vertical\n"
        "RISER;10;feed;12;DN100;\n");
    ASSERT_EQ(system.piping.pipes.size(), 3U);
    EXPECT_EQ(system.piping.pipes[0].name, "riser");  // the pipe at the valve comes first
    EXPECT_EQ(pipe(system, "main").from, "feed");
    EXPECT_EQ(pipe(system, "riser").pitch, 1.0);
    EXPECT_EQ(pipe(system, "feed").pitch, std::nullopt);  // as is usual
    EXPECT_DOUBLE_EQ(pipe(system, "main").geometry()->bore, plant::find_pipe_size("3", "10")->bore());
    EXPECT_EQ(system.rows, 3U);
}

TEST(Takeoff, CountsAreThoseOfTheWholeSystem) {
    const auto system = only_system(
        "name,from,size,schedule,length [ft],count\n"
        "riser,,6,10,20,1\n"
        "mains,riser,4,10,60,2\n"
        "arms,mains,2,40,10,6\n"
        "drops,arms,1,40,3,\n");
    EXPECT_EQ(pipe(system, "mains").count, 2);
    EXPECT_EQ(pipe(system, "arms").count, 3);
    EXPECT_EQ(pipe(system, "drops").count, 1);
    EXPECT_EQ(system.piping.copies_of("drops"), 6);
    double all = 0.0;
    for (const TakeoffSize& size : system.sizes) all += size.length / 0.3048;
    EXPECT_NEAR(all, 20 + 2 * 60 + 6 * 10 + 6 * 3, 1e-9);
    EXPECT_EQ(system.branch_lines, 6);
    EXPECT_THAT(
        complaints("name,from,size,schedule,length [ft],count\n"
                   "riser,,6,10,20,1\nmains,riser,4,10,60,2\narms,mains,2,40,10,5\n"),
        HasSubstr("pipes.csv:4: count: does not go with the 2 of `mains` (given: 5); a multiple of 2"));
}

TEST(Takeoff, ARowOfBranchLinesIsThatOfAScenario) {
    const auto system = only_system(
        "name,from,size,schedule,length [ft],count,spacing [ft],first [ft],sides,sampling point\n"
        "main,,4,10,100,,,,,\n"
        "lines,main,1 1/2,40,14,,10,5,both,\n"
        "lines outer,lines,1,40,36,,,,,\n"
        "end lines,main,1,40,9,1,,,one,SP\n");
    EXPECT_EQ(system.branch_lines, 21);  // ten taps of two, and one at the end
    EXPECT_EQ(pipe(system, "lines 1-2 piece 1").count, 2);
    EXPECT_NEAR(length(system, "main 1"), 5 * 0.3048, 1e-9);
    EXPECT_THAT(
        system.toml,
        HasSubstr("spacing = \"10 ft\"\nfirst = \"5 ft\"\nsides = \"both\"\n[[riser.branch_lines.pieces]]"));
    ASSERT_EQ(system.piping.samples.size(), 1U);
    EXPECT_EQ(system.piping.samples[0].at, "end lines 1");
    EXPECT_THAT(system.open_ends, IsEmpty());
}

TEST(Takeoff, AStubBeyondTheLastBranchLineIsAnOpenEnd) {
    const auto system = only_system(
        "name,from,size,schedule,length [m],count,spacing [m],first [m],sides\n"
        "main,,DN100,10,30,,,,\n"
        "lines,main,DN25,40,9,4,3,3,one\n");
    EXPECT_EQ(system.branch_lines, 4);
    EXPECT_THAT(system.open_ends, ElementsAre("main"));
}

TEST(Takeoff, EndsThatMeetAreJoined) {
    // Drawn from either end, a few millimetres off; the main is tapped between its ends, on both sides.
    const std::string csv = std::string(drawn_head) +
                            "R,riser,DN100,10,0,0,0,0,0,6\n"
                            "M,,DN80,10,0.01,0,6.01,20,0,6.04\n"
                            "B1,,DN32,40,10,8,6.05,10.02,0.03,6.02\n"
                            "B2,,DN32,40,9.99,-0.03,6.03,10,-8,6.05\n"
                            "B3,,DN32,40,20,0.02,6.04,20,8,6.07\n";
    const auto system = only_system(csv);
    EXPECT_EQ(pipe(system, "M 1").from, "R");
    EXPECT_EQ(pipe(system, "M").from, "M 1");
    EXPECT_EQ(pipe(system, "B1").from, "M 1");
    EXPECT_EQ(pipe(system, "B2").from, "M 1");
    EXPECT_EQ(pipe(system, "B3").from, "M");
    EXPECT_NEAR(length(system, "M 1") + length(system, "M"), 19.99, 1e-4);
    EXPECT_NEAR((*pipe(system, "B1").elevation)[0], 6.02, 1e-9);  // turned round: from the main outwards
    EXPECT_EQ(system.branch_lines, 3);
    EXPECT_THAT(system.open_ends, IsEmpty());
    EXPECT_TRUE(system.absolute);
    EXPECT_EQ(system.highest.pipe, "B3");
    EXPECT_NEAR(system.highest.height, 6.07, 1e-9);
    EXPECT_EQ(system.lowest.pipe, "");
    EXPECT_THAT(complaints(csv, {0.02, ""}), HasSubstr("does not connect with the rest"));
}

TEST(Takeoff, APipeEnteredBetweenItsEndsGoesBothWays) {
    const auto system = only_system(std::string(drawn_head) +
                                    "R,riser,DN100,10,0,0,0,0,0,6\n"
                                    "M,main,DN80,10,-6,0,6,10,0,6\n"
                                    "B,,DN32,40,8,0,6,8,5,6\n");
    EXPECT_EQ(pipe(system, "M 1").from, "R");
    EXPECT_NEAR(length(system, "M 1"), 6.0, 1e-9);
    EXPECT_EQ(pipe(system, "M 2").from, "R");
    EXPECT_NEAR(length(system, "M 2"), 8.0, 1e-9);
    EXPECT_EQ(pipe(system, "M 3").from, "M 2");
    EXPECT_EQ(pipe(system, "B").from, "M 2");
    EXPECT_THAT(system.open_ends, UnorderedElementsAre("M 1", "M 3"));
}

TEST(Takeoff, BranchLinesMayRunOverTheMain) {
    // Each is one row, and enters from a nipple in its middle.
    std::string csv = std::string(drawn_head) + "R,,DN100,10,0,0,0,0,0,6\nM,,DN80,10,0,0,6,20,0,6.04\n";
    for (const char* x : {"5", "10", "15", "20"}) {
        csv += std::string("N") + x + ",,DN32,40," + x + ",0,6.02," + x + ",0,6.3\n";
        csv += std::string("B") + x + ",,DN32,40," + x + ",-8,6.3," + x + ",8,6.3\n";
    }
    const auto system = only_system(csv);
    EXPECT_EQ(system.branch_lines, 8);
    EXPECT_THAT(system.open_ends, IsEmpty());
    EXPECT_EQ(pipe(system, "B5 1").from, "N5");
    EXPECT_EQ(pipe(system, "B5 2").from, "N5");
}

TEST(Takeoff, PipesThatCrossWithoutAnEndThereAreNotJoined) {
    const std::string csv = std::string(drawn_head) +
                            "R,riser,DN100,10,0,0,0,0,0,6\n"
                            "M,,DN80,10,0,0,6,10,0,6\n"
                            "N,,DN80,10,0,0,6,0,9,6\n"
                            "B,,DN32,40,0,9,6,9,-9,6\n";
    const auto system = only_system(csv);
    EXPECT_EQ(system.piping.pipes.size(), 4U);
    EXPECT_EQ(pipe(system, "B").from, "N");
}

TEST(Takeoff, ALoopIsALink) {
    const auto system = only_system(std::string(drawn_head) +
                                    "R,riser,DN100,10,0,0,0,0,0,6\n"
                                    "A,,DN80,10,0,0,6,10,0,6\n"
                                    "B,,DN80,10,0,0,6,0,10,6\n"
                                    "C,,DN80,10,10,0,6,10,10,6\n"
                                    "D,,DN80,10,0,10,6,10,10,6\n");
    EXPECT_EQ(system.piping.pipes.size(), 5U);
    ASSERT_EQ(system.piping.links.size(), 1U);
    EXPECT_THAT((std::vector{system.piping.links[0].first, system.piping.links[0].second}),
                UnorderedElementsAre("C", "D"));
}

TEST(Takeoff, WithoutAMarkTheValveIsAtTheLowestEnd) {
    const std::string rest =
        "M,,DN80,10,20,0,6.04,0,0,6\n"
        "B,,DN32,40,20,0,6.04,20,8,6.07\n";
    EXPECT_EQ(only_system(std::string(drawn_head) + rest + "R,,DN100,10,0,0,6,0,0,0\n").piping.pipes[0].name,
              "R");
    const std::string flat =
        "name,size,schedule,x1 [m],y1 [m],x2 [m],y2 [m]\n"
        "M,DN80,10,20,0,0,0\nB,DN32,40,20,0,20,8\n";
    EXPECT_THAT(complaints(flat),
                HasSubstr("nothing says where the valve is: `M` and `B` (line 3) end equally low"));
}

TEST(Takeoff, GivenLengthsCountWhereAPipeIsLongerThanItsEndsAreApart) {
    const std::string head = "name,size,schedule,length [m],x1 [m],y1 [m],z1 [m],x2 [m],y2 [m],z2 [m]\n";
    const auto system =
        only_system(head + "R,DN100,10,,0,0,0,0,0,6\nM,DN80,10,24,0,0,6,20,0,6\nB,DN32,40,,5,0,6,5,8,6\n");
    EXPECT_NEAR(length(system, "M 1"), 6.0, 1e-9);
    EXPECT_NEAR(length(system, "M"), 18.0, 1e-9);
    EXPECT_THAT(complaints(head + "R,DN100,10,,0,0,0,0,0,6\nM,DN80,10,14,0,0,6,20,0,6\n"),
                HasSubstr("pipes.csv:3: length [m]: is less than the 20 m between its ends (given: 14)"));
}

TEST(Takeoff, RowsWithoutCoordinatesHangOnDrawnOnes) {
    const auto system = only_system(
        "name,from,size,schedule,length [m],count,x1 [m],y1 [m],z1 [m],x2 [m],y2 [m],z2 [m],sides\n"
        "R,,DN100,10,,,0,0,0,0,0,6,\n"
        "M,,DN80,10,,,0,0,6,20,0,6.04,\n"
        "lines,M,DN32,40,9,10,,,,,,,both\n");
    EXPECT_EQ(system.branch_lines, 10);
    EXPECT_EQ(pipe(system, "lines 9-10").from, "M");
}

TEST(Takeoff, VentsSamplingPointsAndWaterAreThoseOfTheScenario) {
    const auto system = only_system(
        "name,from,size,schedule,length [m],pitch,vent [mm],sampling point,drain (L)\n"
        "riser,,DN100,10,6,100 %,,,\n"
        "sag,riser,DN80,10,12,-1 %,,,2\n"
        "main,sag,DN80,10,30,0.5 %,0.8,SP 1,\n"
        "spur,riser,DN50,10,4,,,x,no\n");
    ASSERT_EQ(system.piping.vents.size(), 1U);
    EXPECT_EQ(system.piping.vents[0].name, "main vent");
    EXPECT_EQ(system.piping.vents[0].at, "main");
    EXPECT_DOUBLE_EQ(system.piping.vents[0].orifice.diameter, 0.8e-3);
    ASSERT_EQ(system.piping.samples.size(), 2U);
    EXPECT_EQ(system.piping.samples[0].name, "SP 1");
    EXPECT_EQ(system.piping.samples[1].name, "spur sample");
    ASSERT_EQ(system.piping.low_points.size(), 1U);
    const plant::LowPoint& water = system.piping.low_points[0];
    EXPECT_EQ(water.on, "main");  // the sag falls to where it begins
    EXPECT_DOUBLE_EQ(water.water, 2e-3);
    EXPECT_DOUBLE_EQ(std::get<plant::LegSlopes>(water.shape).before, 0.01);
    EXPECT_DOUBLE_EQ(std::get<plant::LegSlopes>(water.shape).behind, 0.005);
    EXPECT_THAT(system.drains, ElementsAre("sag"));
    EXPECT_THAT(system.low_places, ElementsAre("sag"));
}

TEST(Takeoff, TitlesTotalsCommentsAndOtherColumnsDoNotMatter) {
    const Takeoff takeoff = read_takeoff_text(
        "Pipe schedule,,,,,\n\n# by hand\nMark,From,Size,Schedule,Length "
        "[ft],Phase\n#1,,4,10,20,new\n#2,#1,4,10,9,new\n"
        "Grand total: 2,,,,29,\n",
        "pipes.csv");
    ASSERT_EQ(takeoff.systems.size(), 1U);
    EXPECT_EQ(takeoff.systems[0].piping.pipes.size(), 2U);
    EXPECT_THAT(takeoff.unused_columns, ElementsAre("Phase"));
    EXPECT_EQ(takeoff.units, UnitSystem::us);
}

TEST(Takeoff, WordsWithTwoMeaningsGiveWay) {
    const Takeoff takeoff = read_takeoff_text(
        "ID,Type,System,Mark,From,Size,Schedule,Length [ft]\n"
        "401,Standard,Dock,R,,4,10,20\n402,Standard,DOCK,M,R,4,10,9\n",
        "pipes.csv");
    ASSERT_EQ(takeoff.systems.size(), 1U);
    EXPECT_EQ(takeoff.systems[0].piping.pipes.at(1).name, "M");
    EXPECT_THAT(takeoff.unused_columns, UnorderedElementsAre("ID", "Type"));
}

TEST(Takeoff, ProblemsOfThePlantAreToldAtTheRows) {
    const std::string said = complaints(
        "name,from,size,schedule,length [m],elevation from [m],elevation to [m],count\n"
        "riser,,DN100,10,6,0,6,\n"
        "main,riser,DN80,10,30,9,9,\n"
        "arms,main,DN25,40,0.0001,,,1001\n");
    EXPECT_THAT(said, HasSubstr("pipes.csv:3: elevation from [m]: the near end is at 9 m, but `riser`, which "
                                "it hangs on, ends at 6 m (given: 9)"));
    EXPECT_THAT(
        said, HasSubstr("pipes.csv:4: count: is out of range (given: 1001); a whole number from 1 to 1000"));
    EXPECT_THAT(said, HasSubstr("pipes.csv:4: riser.takeoff.pipe.arms: holds"));
    EXPECT_THAT(
        complaints("name,from,size,schedule,length [m],elevation from [m],elevation to [m],position\n"
                   "riser,,DN100,10,6,0,6,level\n"),
        HasSubstr("pipes.csv:2: position: contradicts the elevations, which make it 100 % (given: level)"));
}

/// A folder of its own with a scenario whose riser's piping is in a takeoff.
class TakeoffOfAScenario : public testing::Test {
  protected:
    TakeoffOfAScenario() {
        std::filesystem::create_directories(folder_);
        write("pipes.csv",
              "system,name,from,size,schedule,length [ft],count,sides\n"
              "North,main,,4,10,100,,\nNorth,lines,main,1,40,20,6,both\nNorth,far,main,2,40,30,,\n");
        std::string text(sample::scenario_text);
        text.erase(text.find("[[riser.pipe]]"), text.find("[[riser.vent]]") - text.find("[[riser.pipe]]"));
        write("plant.toml", text.insert(text.find("set_pressure"), "takeoff = \"pipes.csv\"\n"));
    }
    ~TakeoffOfAScenario() override { std::filesystem::remove_all(folder_); }

    void write(const std::string& name, const std::string& text) { std::ofstream(folder_ / name) << text; }
    Scenario read(const std::vector<Override>& overrides = {}) {
        return read_file(folder_ / "plant.toml", overrides);
    }
    std::string said(const std::vector<Override>& overrides = {}) {
        try {
            (void)read(overrides);
        } catch (const InputError& error) {
            return error.what();
        }
        return "";
    }

    std::filesystem::path folder_ =
        std::filesystem::temp_directory_path() / ("oxfade_takeoff_" + std::to_string(::getpid()));
};

TEST_F(TakeoffOfAScenario, IsReadInPlace) {
    const Scenario scenario = read();
    const plant::Riser& riser = scenario.plant.risers.at(0);
    ASSERT_EQ(riser.pipes.size(), 7U);  // three segments of the main, three pairs of lines, and the last
    EXPECT_EQ(riser.vents.at(0).at, "far");
    EXPECT_EQ(scenario.units, UnitSystem::us);
}

TEST_F(TakeoffOfAScenario, IsChangedByOverrides) {
    const auto riser = read({{"riser.North.pipe.main.length", "90 ft"}}).plant.risers.at(0);
    EXPECT_NEAR(riser.pipes[0].geometry()->length, 30 * 0.3048, 1e-9);
    EXPECT_THAT(said({{"riser.North.pipe.main.length", "-90 ft"}}),
                HasSubstr("--set: riser.North.pipe.main.length: must be above 0"));
    write("other.csv", "name,from,size,schedule,length [ft]\nfar,,2,40,30\n");
    EXPECT_EQ(read({{"riser.North.takeoff", "other.csv"}}).plant.risers.at(0).pipes.size(), 1U);
}

TEST_F(TakeoffOfAScenario, IsInTheTextThatIsKept) {
    const Scenario scenario = read({{"riser.North.pipe.far.length", "31 ft"}});
    ASSERT_FALSE(scenario.resolved.empty());
    std::filesystem::remove(folder_ / "pipes.csv");
    const Scenario again = read_text(scenario.resolved, "plant.toml");
    EXPECT_DOUBLE_EQ(again.plant.risers.at(0).volume(), scenario.plant.risers.at(0).volume());
    EXPECT_TRUE(again.resolved.empty());
    EXPECT_THAT(said(), HasSubstr("plant.toml:20: riser.North.takeoff: there is no file"));
}

TEST_F(TakeoffOfAScenario, ProblemsOfBothFilesAreToldAtOnce) {
    write("pipes.csv", "name,from,size,schedule,length [ft]\nmain,,4,10,-100\n");
    const std::string both = said({{"riser.North.rest", "3 psi"}});
    EXPECT_THAT(both, HasSubstr("pipes.csv:2: length [ft]: must be above 0 (given: -100)"));
    EXPECT_THAT(both, HasSubstr("--set: riser.North.rest: a time is wanted"));
    EXPECT_THAT(both, Not(HasSubstr("riser.North.vent")));  // what names pipes cannot be judged
}

TEST(Takeoff, ManyProblemsAreCutShort) {
    std::string csv = "name,from,size,schedule,length [m]\n";
    for (int k = 0; k < 300; ++k) csv += "p" + std::to_string(k) + ",,DN100,10,-1\n";
    EXPECT_THAT(complaints(csv), HasSubstr("there are 100 more problems; mend these first"));
}

TEST(Takeoff, AThousandDrawnPipesAreReadInNoTime) {
    std::string csv = std::string(drawn_head) + "R,riser,6,10,0,0,0,0,0,6\nM,,6,10,0,0,6,1500,0,6.4\n";
    for (int k = 1; k <= 1500; ++k) {
        const std::string x = std::to_string(k), z = std::to_string(6.0 + 0.4 * k / 1500.0);
        csv += "B" + x + ",,1,40," + x + ",0," + z + "," + x + ",9," + z + "\n";
    }
    const auto system = only_system(csv);
    EXPECT_EQ(system.branch_lines, 1500);
    EXPECT_EQ(system.piping.pipes.size(), 3001U);
}

TEST(Takeoff, TheSummarySaysWhatThereIs) {
    const Takeoff takeoff =
        read_takeoff(sample::source_folder() / "tests/user_input/takeoffs/metric_list.csv");
    const std::string said = takeoff_summary(takeoff, UnitSystem::us);
    EXPECT_THAT(said, HasSubstr("DN100 schedule 10"));
    EXPECT_THAT(said, HasSubstr(" gal\n"));
    EXPECT_THAT(said, HasSubstr("All systems\n"));
    EXPECT_THROW((void)read_takeoff("nowhere.csv"), FileError);
}

}  // namespace
}  // namespace oxfade::scenario
