#include "oxfade/scenario/quantity.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <thread>
#include <vector>

#include "oxfade/error.hpp"

namespace oxfade::scenario {
namespace {

constexpr double air = 100'000.0;  // [Pa]
constexpr double psi = 6894.757293168;

struct Row {
    const char* text;
    Dimension dimension;
    double si;
};
void PrintTo(const Row& row, std::ostream* out) { *out << row.text; }

class Quantities : public testing::TestWithParam<Row> {};

TEST_P(Quantities, BecomeSi) {
    const Row& row = GetParam();
    EXPECT_NEAR(quantity(row.text, row.dimension, air), row.si, 1e-9 * std::abs(row.si)) << row.text;
}

// Definitions: NIST SP 811; the US gallon is 231 cubic inches.
INSTANTIATE_TEST_SUITE_P(
    Lengths, Quantities,
    testing::Values(Row{"4 in", Dimension::length, 0.1016}, Row{"4\"", Dimension::length, 0.1016},
                    Row{"20'", Dimension::length, 6.096}, Row{"1 1/4 in", Dimension::length, 0.03175},
                    Row{"1/8 in", Dimension::length, 0.003175}, Row{"240 ft", Dimension::length, 73.152},
                    Row{"0.5mm", Dimension::length, 0.0005}));
INSTANTIATE_TEST_SUITE_P(Volumes, Quantities,
                         testing::Values(Row{"1 gal", Dimension::volume, 0.003785411784},
                                         Row{"2 gallons", Dimension::volume, 2 * 0.003785411784},
                                         Row{"1 L", Dimension::volume, 0.001},
                                         Row{"1 ft3", Dimension::volume, 0.028316846592},
                                         Row{"1 ft^3", Dimension::volume, 0.028316846592},
                                         Row{"3 m\u00b3", Dimension::volume, 3.0}));
INSTANTIATE_TEST_SUITE_P(Times, Quantities,
                         testing::Values(Row{"21 d", Dimension::time, 1814400.0},
                                         Row{"24 h", Dimension::time, 86400.0},
                                         Row{"30 min", Dimension::time, 1800.0},
                                         Row{"2 weeks", Dimension::time, 1209600.0}));
INSTANTIATE_TEST_SUITE_P(Pressures, Quantities,
                         testing::Values(Row{"28 psig", Dimension::pressure, air + 28 * psi},
                                         Row{"28 psi", Dimension::pressure, 28 * psi},
                                         Row{"28 psia", Dimension::pressure, 28 * psi},
                                         Row{"2 barg", Dimension::pressure, 300'000.0},
                                         Row{"200 kPag", Dimension::pressure, 300'000.0},
                                         Row{"2 bara", Dimension::pressure, 200'000.0},
                                         Row{"0 psig", Dimension::pressure, air},
                                         Row{"-1 psig", Dimension::pressure, air - psi},
                                         Row{"101.325 kPa", Dimension::absolute_pressure, 101'325.0},
                                         Row{"1 inHg", Dimension::absolute_pressure, 3386.388640341},
                                         Row{"1.5 psi", Dimension::pressure_difference, 1.5 * psi}));
INSTANTIATE_TEST_SUITE_P(Temperatures, Quantities,
                         testing::Values(Row{"18 degC", Dimension::temperature, 291.15},
                                         Row{"-4 degF", Dimension::temperature, 253.15},
                                         Row{"20 \u00b0C", Dimension::temperature, 293.15},
                                         Row{"293 K", Dimension::temperature, 293.0},
                                         Row{"6 K", Dimension::temperature_difference, 6.0},
                                         Row{"6 degC", Dimension::temperature_difference, 6.0},
                                         Row{"9 degF", Dimension::temperature_difference, 5.0}));
INSTANTIATE_TEST_SUITE_P(Flows, Quantities,
                         testing::Values(Row{"3600 ft3/h", Dimension::volume_flow, 0.028316846592},
                                         Row{"60 cfm", Dimension::volume_flow, 0.028316846592},
                                         Row{"3600 cfh", Dimension::volume_flow, 0.028316846592},
                                         Row{"60 scfm", Dimension::volume_flow, 0.028316846592},
                                         Row{"60 L/min", Dimension::volume_flow, 0.001},
                                         Row{"3600 m3 h-1", Dimension::volume_flow, 1.0},
                                         Row{"60 gal/min", Dimension::volume_flow, 0.003785411784},
                                         Row{"0.1 mol/s", Dimension::molar_flow, 0.1},
                                         Row{"4 kW", Dimension::power, 4000.0},
                                         Row{"98 %", Dimension::fraction, 0.98},
                                         Row{"98%", Dimension::fraction, 0.98},
                                         Row{"500 ppm", Dimension::fraction, 0.0005}));

// NIST SP 811: conventional water, 249.08891 Pa an inch; 16 ounces are a pound.
INSTANTIATE_TEST_SUITE_P(
    LowPressures, Quantities,
    testing::Values(Row{"1 in WC", Dimension::pressure_difference, 249.08891},
                    Row{"1 inH2O", Dimension::pressure_difference, 249.08891},
                    Row{"1 in. w.c.", Dimension::pressure_difference, 249.08891},
                    Row{"1 inch of water", Dimension::pressure_difference, 249.08891},
                    Row{"2 feet of water", Dimension::pressure_difference, 2 * 2989.06692},
                    Row{"1 ftH2O", Dimension::pressure, 2989.06692},
                    Row{"10 mm H2O", Dimension::pressure_difference, 98.0665},
                    Row{"4 oz", Dimension::pressure_difference, psi / 4},
                    Row{"4 oz/in2", Dimension::pressure_difference, psi / 4},
                    Row{"4 oz/in\u00b2", Dimension::pressure_difference, psi / 4},
                    Row{"4 osi", Dimension::pressure, psi / 4},
                    Row{"8 osig", Dimension::pressure, air + psi / 2},
                    Row{"4 ounces per square inch", Dimension::pressure_difference, psi / 4},
                    Row{"10 in WCg", Dimension::pressure, air + 2490.8891}));
INSTANTIATE_TEST_SUITE_P(Capitals, Quantities,
                         testing::Values(Row{"30 PSIG", Dimension::pressure, air + 30 * psi},
                                         Row{"30 Psi", Dimension::pressure, 30 * psi},
                                         Row{"2 BARG", Dimension::pressure, 300'000.0},
                                         Row{"60 SCFM", Dimension::volume_flow, 0.028316846592},
                                         Row{"60 CFM", Dimension::volume_flow, 0.028316846592},
                                         Row{"4 IN", Dimension::length, 0.1016},
                                         Row{"1 GAL", Dimension::volume, 0.003785411784},
                                         Row{"2 Hrs", Dimension::time, 7200.0}));
INSTANTIATE_TEST_SUITE_P(SmallLengths, Quantities,
                         testing::Values(Row{"30 mils", Dimension::length, 0.000762},
                                         Row{"30 mil", Dimension::length, 0.000762},
                                         Row{"30 thou", Dimension::length, 0.000762},
                                         Row{"30 thousandths", Dimension::length, 0.000762},
                                         Row{"30 thousandths of an inch", Dimension::length, 0.000762}));
INSTANTIATE_TEST_SUITE_P(Degrees, Quantities,
                         testing::Values(Row{"50 F", Dimension::temperature, 283.15},
                                         Row{"50 deg F", Dimension::temperature, 283.15},
                                         Row{"50 \u00b0 F", Dimension::temperature, 283.15},
                                         Row{"20 C", Dimension::temperature, 293.15},
                                         Row{"20 \u00baC", Dimension::temperature, 293.15},
                                         Row{"20 Celsius", Dimension::temperature, 293.15},
                                         Row{"9 F", Dimension::temperature_difference, 5.0},
                                         Row{"5 C", Dimension::temperature_difference, 5.0}));
INSTANTIATE_TEST_SUITE_P(
    Durations, Quantities,
    testing::Values(Row{"10:45", Dimension::time, 645.0}, Row{"90:00", Dimension::time, 5400.0},
                    Row{"1:10:45", Dimension::time, 4245.0}, Row{"00:30.5", Dimension::time, 30.5},
                    Row{"1 h 30 min", Dimension::time, 5400.0}, Row{"1h30min", Dimension::time, 5400.0},
                    Row{"2 d 3 1/2 h", Dimension::time, 185400.0}, Row{"1.5e3 s", Dimension::time, 1500.0}));
// At 20 degC and 1 atm, unless a test says otherwise. A normal volume is one at 0 degC, Sm3 one at 15 degC.
constexpr double normal = 293.15 / 273.15, standard = 293.15 / 288.15;
INSTANTIATE_TEST_SUITE_P(VolumesOfGas, Quantities,
                         testing::Values(Row{"3600 Nm3/h", Dimension::volume_flow, normal},
                                         Row{"3600 Nm\u00b3/h", Dimension::volume_flow, normal},
                                         Row{"3600 nm3/h", Dimension::volume_flow, normal},
                                         Row{"60 NL/min", Dimension::volume_flow, 0.001 * normal},
                                         Row{"60 slpm", Dimension::volume_flow, 0.001 * normal},
                                         Row{"60 SLPM", Dimension::volume_flow, 0.001 * normal},
                                         Row{"6e7 sccm", Dimension::volume_flow, normal},
                                         Row{"3600 Sm3/h", Dimension::volume_flow, standard},
                                         Row{"3600 scf/h", Dimension::volume_flow, 0.028316846592},
                                         Row{"10 Nm3", Dimension::volume, 10 * normal}));
INSTANTIATE_TEST_SUITE_P(SlopesInWords, Quantities,
                         testing::Values(Row{"1/4 in per 10 ft", Dimension::slope, 1.0 / 480.0}));

TEST(QuantityOfGas, IsConvertedToTheReferenceAskedFor) {
    const plant::Reference cold{101'325.0, 273.15};
    EXPECT_NEAR(quantity("3600 Nm3/h", Dimension::volume_flow, air, cold), 1.0, 1e-12);
    EXPECT_NEAR(quantity("3600 Sm3/h", Dimension::volume_flow, air, {50'662.5, 288.15}), 2.0, 1e-12);
    EXPECT_NEAR(quantity("3600 m3/h", Dimension::volume_flow, air, cold), 1.0, 1e-12);
}

TEST(QuantityOfGas, IsMarked) {
    EXPECT_TRUE(std::get<Quantity>(parse_quantity("10 Nm3", Dimension::volume, air)).amount_of_gas);
    EXPECT_FALSE(std::get<Quantity>(parse_quantity("10 m3", Dimension::volume, air)).amount_of_gas);
}

TEST(Moments, AreTimesOrDatesAfterTheStart) {
    const auto at = [](const char* text, const char* start) {
        return std::get<Quantity>(parse_moment(text, start)).value;
    };
    EXPECT_DOUBLE_EQ(at("5 d", ""), 432'000.0);
    EXPECT_DOUBLE_EQ(at("2026-03-04T08:00", "2026-03-02T08:00:00"), 172'800.0);
    EXPECT_DOUBLE_EQ(at("2026-03-04 08:00:30", "2026-03-02T08:00"), 172'830.0);
    EXPECT_DOUBLE_EQ(at("2028-03-01", "2028-02-28"), 172'800.0);  // a leap year
}

std::string refused_moment(const char* text, const char* start) {
    const auto error = std::get<QuantityError>(parse_moment(text, start));
    return error.what + "; " + error.allowed;
}

TEST(Moments, ThatCannotBe) {
    using testing::HasSubstr;
    EXPECT_THAT(refused_moment("2026-03-04", ""), HasSubstr("the file does not say when the run starts"));
    EXPECT_THAT(refused_moment("2026-02-29T08:00", "2026-02-01"), HasSubstr("is not a date and time"));
    EXPECT_THAT(refused_moment("2026-03-04T08:00Z", "2026-02-01"), HasSubstr("without an offset"));
    EXPECT_THAT(refused_moment("2026-01-04", "2026-02-01T08:00"),
                HasSubstr("before the start of the run, 2026-02-01 08:00"));
    EXPECT_THAT(refused_moment("10:30", "2026-02-01"), HasSubstr("may be a time of day"));
}

std::string refusal(const char* text, Dimension dimension) {
    try {
        quantity(text, dimension, air);
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

TEST(QuantityErrors, NameTheDimensionThatIsWantedAndTheOneGiven) {
    EXPECT_THAT(refusal("3 psi", Dimension::length),
                testing::HasSubstr("a length is wanted, `3 psi` is a pressure"));
    EXPECT_THAT(refusal("3 psig", Dimension::length), testing::HasSubstr("`3 psig` is a pressure"));
    EXPECT_THAT(refusal("2 m3", Dimension::volume_flow),
                testing::HasSubstr("a volume flow is wanted, `2 m3` is a volume"));
    EXPECT_THAT(refusal("3 kg", Dimension::volume), testing::HasSubstr("is a mass"));
}

TEST(QuantityErrors, DoNotTakeReciprocalsForTheThing) {
    EXPECT_THAT(refusal("5 Hz", Dimension::time),
                testing::HasSubstr("a time is wanted, `5 Hz` is a frequency"));
    EXPECT_NE(refusal("5 m-1", Dimension::length), "");
}

TEST(QuantityErrors, KeepGaugeAwayFromWhereItMakesNoSense) {
    EXPECT_THAT(refusal("14.7 psig", Dimension::absolute_pressure),
                testing::HasSubstr("is a gauge pressure"));
}

TEST(QuantityErrors, TimesWithColons) {
    EXPECT_THAT(refusal("10:75", Dimension::time), testing::HasSubstr("`10:75` has 75 seconds"));
    EXPECT_THAT(refusal("1:75:00", Dimension::time), testing::HasSubstr("has 75 minutes after the hours"));
    EXPECT_THAT(refusal("1:2:3:4", Dimension::time), testing::HasSubstr("is not a time with colons"));
    EXPECT_THAT(refusal("1 h 30", Dimension::time), testing::HasSubstr("is not a known unit"));
}

TEST(QuantityErrors, GasIsNoLength) {
    EXPECT_THAT(refusal("20 Nm", Dimension::length), testing::HasSubstr("`Nm` is not a known unit"));
}

TEST(QuantityHints, OfAGaugeInADifferenceAreMarked) {
    const auto found = std::get<Quantity>(parse_quantity("1.5 psig", Dimension::pressure_difference, air));
    EXPECT_NEAR(found.value, 1.5 * psi, 1e-9);
    EXPECT_TRUE(found.gauge_difference);
}

TEST(QuantityErrors, SuggestAUnit) {
    EXPECT_THAT(refusal("30 psigg", Dimension::pressure), testing::HasSubstr("did you mean `psig`?"));
    EXPECT_THAT(refusal("240", Dimension::length), testing::HasSubstr("`240` has no unit"));
    EXPECT_THAT(refusal("0.98", Dimension::fraction), testing::HasSubstr("for example \"98 %\""));
}

TEST(QuantityErrors, RefuseWhatIsNoQuantity) {
    for (const char* text :
         {"", "ft", "nan ft", "inf ft", "1e400 ft", "0x10 ft", "1,000 ft", "10 ft 3", "3 m @ 4", "3 (m)",
          "5 1/m", "3 days since 1990-01-01", "3 log(re 1 m)", "98 deg"}) {
        EXPECT_NE(refusal(text, Dimension::length), "") << text;
    }
    EXPECT_NE(refusal("98 deg", Dimension::fraction), "");
    EXPECT_NE(refusal("98 rad", Dimension::fraction), "");
    EXPECT_NE(refusal(std::string(100'000, '9').c_str(), Dimension::length), "");
    EXPECT_NE(refusal("1e308 km", Dimension::length), "");
}

std::optional<UnitSystem> family(const char* text, Dimension dimension) {
    return std::get<Quantity>(parse_quantity(text, dimension, air)).system;
}

TEST(QuantityFamilies, AreThoseOfTheUnit) {
    EXPECT_EQ(family("28 psig", Dimension::pressure), UnitSystem::us);
    EXPECT_EQ(family("140 ft3/h", Dimension::volume_flow), UnitSystem::us);
    EXPECT_EQ(family("4\"", Dimension::length), UnitSystem::us);
    EXPECT_EQ(family("70 \u00b0F", Dimension::temperature), UnitSystem::us);
    EXPECT_EQ(family("2 barg", Dimension::pressure), UnitSystem::si);
    EXPECT_EQ(family("1.5 L/min", Dimension::volume_flow), UnitSystem::si);
    EXPECT_EQ(family("3 d", Dimension::time), std::nullopt);
    EXPECT_EQ(family("98 %", Dimension::fraction), std::nullopt);
}

TEST(QuantityThreads, MayShareTheUnitDatabase) {
    std::vector<double> results(8);
    std::vector<std::thread> threads;
    for (double& result : results) {
        threads.emplace_back([&result] {
            for (int i = 0; i < 200; ++i) result = quantity("28 psig", Dimension::pressure, air);
        });
    }
    for (std::thread& thread : threads) thread.join();
    for (const double result : results) EXPECT_NEAR(result, air + 28 * psi, 1e-6);
}

}  // namespace
}  // namespace oxfade::scenario
