// Limits: what would take memory or time without end, or cannot be computed, is refused before anything runs.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "oxfade/engine/predict.hpp"
#include "oxfade/plant/limits.hpp"
#include "oxfade/scenario/takeoff.hpp"
#include "oxfade/study/readings.hpp"
#include "support/plants.hpp"
#include "support/scenario_text.hpp"

namespace oxfade {
namespace {

using sample::complaints;
using sample::only_complaint;
using sample::with;
using sample::with_added;
using testing::HasSubstr;

std::string with_vent_open(const std::string& every, const std::string& for_) {
    return with("diameter = \"0.03 in\"",
                "diameter = \"0.03 in\"\nopen = { every = \"" + every + "\", for = \"" + for_ + "\" }");
}

TEST(Limits, Duration) {
    EXPECT_TRUE(complaints(with("\"3 d\"", "\"3650 d\"")).empty());
    EXPECT_THAT(only_complaint(with("\"3 d\"", "\"51 year\"")), HasSubstr("at most 50 years"));
}

TEST(Limits, CompartmentsOfAPipe) {
    EXPECT_TRUE(complaints(with("\"80 m\"", "\"80 m\"\ncells = 10000")).empty());
    EXPECT_THAT(only_complaint(with("\"80 m\"", "\"80 m\"\ncells = 10001")),
                HasSubstr("a whole number from 1 to 10000"));
    EXPECT_THAT(only_complaint(with("\"80 m\"", "\"80 m\"\ncells = 9223372036854775807")),
                HasSubstr("a whole number from 1 to 10000"));
}

TEST(Limits, CompartmentsOfThePlant) {
    std::string text = with("\"80 m\"", "\"80 m\"\ncells = 10000");
    text = with("\"300 ft\"", "\"300 ft\"\ncells = 10000", text);
    EXPECT_THAT(only_complaint(text),
                HasSubstr("riser: the plant is cut into 20001 compartments; at most 20000"));
}

TEST(Limits, OpeningsOfAVent) {
    EXPECT_TRUE(complaints(with_vent_open("1 s", "0.5 s")).empty());
    EXPECT_THAT(
        only_complaint(with_vent_open("1e-3 s", "1e-4 s")),
        HasSubstr("open.every: the vent would open 2.59e+08 times in the run (given: \"1e-3 s\"); at most "
                  "2000000 times"));
}

TEST(Limits, OpeningsTimesCompartments) {
    const std::string text = with("\"80 m\"", "\"80 m\"\ncells = 10000", with_vent_open("1 s", "0.5 s"));
    EXPECT_THAT(only_complaint(text),
                HasSubstr("10002 compartments and 2.59e+05 openings of vents are too much"));
}

TEST(Limits, ReceiverThatIsFullInNoTime) {
    EXPECT_THAT(
        only_complaint(with("\"60 gal\"", "\"3 mL\"")),
        HasSubstr("source.receiver.volume: is too small: the machine would be through from `start` to "
                  "`stop` in"));
}

TEST(Limits, ReceiverThatIsFullOfAirInNoTime) {
    EXPECT_THAT(only_complaint(with("air_flow = \"", "air_flow = \"10000000")),
                HasSubstr("source.receiver.volume: is too small: the machine would be through"));
}

TEST(Limits, SwitchingPressuresTooClose) {
    const auto switch_at = [](const char* low) {
        return with("kind = \"regulator\"",
                    std::string("kind = \"switch\", low = \"") + low + "\", high = \"30 psig\"");
    };
    EXPECT_TRUE(complaints(switch_at("29.99 psig")).empty());
    EXPECT_THAT(only_complaint(switch_at("29.9999 psig")), HasSubstr("supply.low: is too close to `high`"));
}

TEST(Limits, PartsOfPipesTooSmall) {
    EXPECT_TRUE(complaints(with("\"700 gal\"", "\"2 mL\"")).empty());
    EXPECT_THAT(only_complaint(with("\"700 gal\"", "\"0.9 mL\"")),
                HasSubstr("holds 0.9 mL in each of its parts"));
    EXPECT_THAT(only_complaint(with("\"80 m\"", "\"0.9 mm\"")),
                HasSubstr("has parts of 0.9 mm; at least 1 mm"));
}

TEST(Limits, WaterThatIsNotWorthTheName) {
    const auto dip = [](const std::string& water) {
        return with_added("[[riser.low_point]]\nname = \"dip\"\non = \"far\"\nwater = \"" + water +
                          "\"\nrise = \"8 in\"\n");
    };
    EXPECT_TRUE(complaints(dip("0.0011 mL")).empty());
    EXPECT_THAT(only_complaint(dip("6e-10 L")), HasSubstr("low_point.dip.water: is too little"));
}

TEST(Limits, HolesThatEmptyARiserAtOnce) {
    const std::string on_the_main = with("at = \"far\"", "at = \"main\"");  // which is no round pipe
    EXPECT_TRUE(complaints(with("\"0.03 in\"", "\"1 m\"", on_the_main)).empty());
    EXPECT_THAT(only_complaint(with("\"0.03 in\"", "\"2.1 in\"")),
                HasSubstr("end vent.diameter: is wider than the pipe it is on"));
    EXPECT_THAT(only_complaint(with("\"0.03 in\"", "\"0.3 km\"", on_the_main)),
                HasSubstr("end vent.diameter: would let all the gas through in"));
    EXPECT_THAT(only_complaint(with("\"0.125 in\"", "\"0.125 km\"")),
                HasSubstr("supply.diameter: would let"));
}

TEST(Limits, ExchangeBeyondPerfectMixing) {
    EXPECT_TRUE(complaints(with("\"80 m\"", "\"80 m\"\nexchange = \"1 mol/s\"")).empty());
    EXPECT_THAT(only_complaint(with("\"80 m\"", "\"80 m\"\nexchange = \"1e6 mol/s\"")),
                HasSubstr("exchange: would mix these compartments in less than a thousandth of a second"));
}

TEST(Limits, EntriesOfAList) {
    std::string many;
    for (int i = 0; i < 5001; ++i) many += "[[riser.leak]]\ndiameter = \"1 mm\"\n";
    EXPECT_THAT(only_complaint(with_added(many)), HasSubstr("leak: the list has 5002 entries"));
}

TEST(Limits, SizeOfAFile) { EXPECT_THROW(sample::read(std::string(4'000'001, '\n')), FileError); }

TEST(Limits, ProblemsToldAtOnce) {
    std::string many;
    for (int i = 0; i < 1000; ++i) many += "[[riser.leak]]\nat = \"nowhere at all\"\ndiameter = \"1 mm\"\n";
    const auto lines = complaints(with_added(many));
    ASSERT_EQ(lines.size(), 201U);
    EXPECT_THAT(lines.back(), HasSubstr("there are 800 more problems; mend these first"));
}

TEST(Limits, Readings) {
    const plant::Plant plant = sample::read(std::string(sample::scenario_text)).plant;
    std::string csv = "time,riser,pipe,oxygen\n";
    for (int i = 0; i < 10'001; ++i) csv += "1 d,North,far,5 %\n";
    try {
        study::parse_readings(csv, "many.csv", plant);
        FAIL() << "nothing was said";
    } catch (const InputError& error) {
        EXPECT_THAT(error.what(), HasSubstr("many.csv: there are 10001 readings; at most 10000"));
    }
}

TEST(Limits, StepsOfARun) {
    engine::Options options;
    options.max_steps = 20;
    try {
        engine::predict(sample::two_pipe_riser(0.03 * sample::inch), options);
        FAIL() << "it went on";
    } catch (const ComputationError& error) {
        EXPECT_THAT(error.what(), HasSubstr("gave up after 20 steps; the last to switch: "));
        EXPECT_GT(error.time_s(), 0.0);
    }
}

TEST(Limits, RowsOfAHistory) {
    engine::Options options;
    options.history_points = 1'000'001;
    EXPECT_THROW(engine::predict(sample::two_pipe_riser(0.03 * sample::inch), options), InputError);
}

std::string takeoff_complaint(const std::string& csv, const scenario::TakeoffOptions& options = {}) {
    try {
        (void)scenario::read_takeoff_text(csv, "pipes.csv", options);
    } catch (const Error& error) {
        return error.what();
    }
    return "";
}

TEST(Limits, Takeoffs) {
    const std::string head = "name,from,size,schedule,length [m],count\np,,DN100,10,6,\n";
    EXPECT_THAT(takeoff_complaint(head + std::string(4'000'000, '#')),
                HasSubstr("is too large for a takeoff (over 4000000 bytes)"));
    std::string many = head;
    for (int k = 0; k < 20'000; ++k) many += "p" + std::to_string(k) + ",p,DN25,40,2,\n";
    EXPECT_THAT(takeoff_complaint(many), HasSubstr("there are 20001 rows; at most 20000"));
    many = head;
    for (int k = 0; k < 5'000; ++k) many += "p" + std::to_string(k) + ",p,DN25,40,2,\n";
    EXPECT_THAT(takeoff_complaint(many),
                HasSubstr("pipes.csv:2: riser.takeoff.pipe: the list has 5001 entries; at most 5000"));
    EXPECT_THAT(takeoff_complaint(head + std::string(201, 'a') + ",p,DN25,40,2,\n"),
                HasSubstr("the cell is too long (given: aaaaaaaaaaaaaaaaaaaa...); at most 200 letters"));
    EXPECT_THAT(takeoff_complaint(head + "q,p,DN25,40,2,20001\n"),
                HasSubstr("a whole number from 1 to 20000, or nothing"));
    EXPECT_THAT(
        takeoff_complaint(head + "q,p,DN25,40,2,1001\n"),
        HasSubstr("pipes.csv:3: count: is out of range (given: 1001); a whole number from 1 to 1000"));
    EXPECT_THAT(takeoff_complaint("size,schedule,x1 [m],y1 [m],x2 [m],y2 [m]\nDN80,10,0,0,100001,0\n"),
                HasSubstr("is farther away than any building reaches"));
}

}  // namespace
}  // namespace oxfade
