#include "oxfade/study/readings.hpp"

#include <gmock/gmock.h>

#include "support/plants.hpp"

namespace oxfade::study {
namespace {

plant::Plant one_riser() { return sample::two_pipe_riser(1e-3); }

std::string refusal(const std::string& csv) {
    try {
        parse_readings(csv, "visit.csv", one_riser());
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

TEST(Readings, AreReadWithTheirUnits) {
    const auto readings = parse_readings(
        "\xEF\xBB\xBFtime,pipe,oxygen,pressure,oxygen_uncertainty,pressure_uncertainty\r\n"
        "# first visit\r\n\r\n"
        "1 d,far,4.2 %,30 psig,,\r\n"
        "36 h,\"far\",,29 psig,0.1 %,0.25 psi\r\n",
        "visit.csv", one_riser());
    ASSERT_EQ(readings.size(), 2u);
    EXPECT_EQ(readings[0].time, sample::day);
    EXPECT_EQ(readings[0].riser, "riser");
    EXPECT_NEAR(*readings[0].oxygen, 0.042, 1e-12);
    EXPECT_NEAR(*readings[0].pressure, sample::psig(30.0), 1e-6);
    EXPECT_EQ(readings[0].oxygen_uncertainty, 0.002);
    EXPECT_NEAR(readings[0].pressure_uncertainty, 0.5 * sample::psi, 1e-9);
    EXPECT_FALSE(readings[1].oxygen.has_value());
    EXPECT_NEAR(readings[1].oxygen_uncertainty, 0.001, 1e-12);
    EXPECT_NEAR(readings[1].pressure_uncertainty, 0.25 * sample::psi, 1e-9);
}

TEST(Readings, MayHaveDatesWhereThePlantHasAStart) {
    auto plant = one_riser();
    const std::string csv = "time,pipe,oxygen\n2026-03-03 20:00,far,4.2 %\n";
    EXPECT_THAT(refusal(csv), testing::HasSubstr("visit.csv:2: time: `2026-03-03 20:00` is a date"));
    plant.start = "2026-03-02T08:00:00";
    EXPECT_EQ(parse_readings(csv, "visit.csv", plant).at(0).time, 1.5 * sample::day);
}

TEST(Readings, EveryProblemHasItsLine) {
    const std::string said = refusal(
        "time,riser,pipe,oxygen\n"
        "1 d,riser,far,4 psi\n"
        ",riser,far,4 %\n"
        "1 d,risor,far,4 %\n"
        "1 d,riser,fur,4 %\n"
        "1 d,riser,far,\n"
        "1 d,riser,far,400 %\n");
    for (const char* part : {"visit.csv:2: oxygen", "`4 psi`", "visit.csv:3: time", "visit.csv:4: riser",
                             "did you mean `riser`?", "visit.csv:5: pipe", "did you mean `far`?",
                             "visit.csv:6: oxygen: nothing was read", "visit.csv:7: oxygen"}) {
        EXPECT_THAT(said, testing::HasSubstr(part));
    }
}

TEST(Readings, TheTableItselfIsChecked) {
    EXPECT_THAT(refusal(""), testing::HasSubstr("nothing in it"));
    EXPECT_THAT(refusal("time,riser,pipe\n"), testing::HasSubstr("no readings"));
    EXPECT_THAT(refusal("riser,pipe,oxygen\n"), testing::HasSubstr("time: this column is missing"));
    EXPECT_THAT(refusal("time,oxigen\n"), testing::HasSubstr("did you mean `oxygen`?"));
    EXPECT_THAT(refusal("time,time\n"), testing::HasSubstr("twice"));
    EXPECT_THAT(refusal("time,pipe\n1 d\n"), testing::HasSubstr("visit.csv:2: the line has 1 fields"));
    EXPECT_THAT(refusal("time,pipe\n1 d,\"far\n"), testing::HasSubstr("quote"));
}

}  // namespace
}  // namespace oxfade::study
