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
    EXPECT_THAT(refusal("1.5 psig", Dimension::pressure_difference),
                testing::HasSubstr("is a gauge pressure"));
}

TEST(QuantityErrors, SuggestAUnit) {
    EXPECT_THAT(refusal("30 PSIG", Dimension::pressure), testing::HasSubstr("did you mean `psig`?"));
    EXPECT_THAT(refusal("20 C", Dimension::temperature), testing::HasSubstr("write degC for degrees"));
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
