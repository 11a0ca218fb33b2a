#include "oxfade/report/units.hpp"

#include <gtest/gtest.h>

#include <limits>

#include "sample_outcome.hpp"

namespace oxfade::report {
namespace {

using outcome::Dimension;

Units si() { return {System::si, 101325.0, {}}; }
Units us() { return {System::us, 101325.0, {}}; }

TEST(ReportNumber, KeepsSignificantDigitsWithoutExponent) {
    EXPECT_EQ(format_number(0.0), "0");
    EXPECT_EQ(format_number(1234567.0), "1234567");
    EXPECT_EQ(format_number(12.345), "12.3");
    EXPECT_EQ(format_number(9.999), "10");
    EXPECT_EQ(format_number(0.00012345), "0.000123");
    EXPECT_EQ(format_number(-2.5), "-2.5");
}

TEST(ReportNumber, SaysUnknownForWhatIsNotFinite) {
    EXPECT_EQ(format_number(std::numeric_limits<double>::quiet_NaN()), "unknown");
    EXPECT_EQ(format_time(std::numeric_limits<double>::infinity()), "unknown");
}

TEST(ReportTime, ReadsAsPeopleSayIt) {
    EXPECT_EQ(format_time(45.0), "45 s");
    EXPECT_EQ(format_time(1490.5), "24.8 min");
    EXPECT_EQ(format_time(7.5 * 3600.0), "7.5 h");
    EXPECT_EQ(format_time(37.8 * 3600.0), "1 d 13.8 h");
    EXPECT_EQ(format_time(21.0 * 86400.0), "21 d");
}

TEST(ReportTime, CarriesRoundedHoursIntoDays) {
    EXPECT_EQ(format_time(24.0 * 3600.0), "24 h");
    EXPECT_EQ(format_time(35.97 * 3600.0), "1 d 12 h");
    EXPECT_EQ(format_time(47.98 * 3600.0), "2 d");
}

TEST(ReportTime, GivesADayOnTheAxis) { EXPECT_EQ(format_day(1.5 * 86400.0), "day 1.5"); }

TEST(ReportPurity, NeverRoundsUpToATarget) {
    EXPECT_EQ(format_purity(0.98), "98 %");
    EXPECT_EQ(format_purity(0.979999), "97.99 %");
    EXPECT_EQ(format_purity(0.99995), "99.995 %");
    EXPECT_EQ(format_purity(1.0), "100 %");
}

TEST(ReportPercent, KeepsSmallFractionsReadable) {
    EXPECT_EQ(format_percent(0.025), "2.5 %");
    EXPECT_EQ(format_percent(0.00012), "0.012 %");
}

TEST(ReportValue, SpeaksUsTradeUnits) {
    EXPECT_EQ(format_value(101325.0 + 30.0 * test::psi, Dimension::gauge_pressure, us()), "30 psig");
    EXPECT_EQ(format_value(1.5 * test::psi, Dimension::pressure, us()), "1.5 psi");
    EXPECT_EQ(format_value(140.0 * 0.028316846592 / 3600.0, Dimension::standard_flow, us()), "140 ft3/h");
    EXPECT_EQ(format_value(700.0 * 3.785411784e-3, Dimension::volume, us()), "700 gal");
    EXPECT_EQ(format_value(0.0254 * 0.03, Dimension::length, us()), "0.03 in");
    EXPECT_EQ(format_value(0.3048 * 240.0, Dimension::length, us()), "240 ft");
    EXPECT_EQ(format_value(3.0, Dimension::count, us()), "3");
}

TEST(ReportValue, SpeaksSiTradeUnits) {
    EXPECT_EQ(format_value(101325.0 + 2.0e5, Dimension::gauge_pressure, si()), "2 barg");
    EXPECT_EQ(format_value(1.5e4, Dimension::pressure, si()), "15 kPa");
    EXPECT_EQ(format_value(1.5e-3 / 60.0, Dimension::standard_flow, si()), "1.5 L/min");
    EXPECT_EQ(format_value(2.0, Dimension::volume, si()), "2000 L");
    EXPECT_EQ(format_value(12.5, Dimension::standard_volume, si()), "12.5 m3");
    EXPECT_EQ(format_value(8e-4, Dimension::length, si()), "0.8 mm");
}

TEST(ReportValue, CountsGaugeFromTheSite) {
    plant::Plant high = test::sample_plant();
    high.site.pressure = 80000.0;
    const Units units = units_of(high, System::us);
    EXPECT_EQ(format_value(80000.0 + 30.0 * test::psi, Dimension::gauge_pressure, units), "30 psig");
    EXPECT_EQ(format_gauge_range(80000.0, 80000.0 + test::psi, units), "0 to 1 psig");
    EXPECT_EQ(format_gauge_range(80000.0, 80001.0, units), "0 psig");
}

TEST(ReportValue, TurnsMolesIntoStandardVolume) {
    const double moles = plant::standard_moles(si().reference, 3.0);
    EXPECT_EQ(format_amount(moles, si()), "3 m3");
    EXPECT_EQ(format_molar_flow(moles / 3000.0, si()), "60 L/min");
}

outcome::Message message(std::string text) {
    return {outcome::Code::vents_above_separator,
            outcome::Level::warning,
            "source",
            std::move(text),
            {{101325.0 + 10.0 * test::psi, Dimension::gauge_pressure}, {0.02, Dimension::fraction}}};
}

TEST(ReportMessage, FillsTheTemplateInTheReadersUnits) {
    EXPECT_EQ(format_message(message("at {0}, {1} and {1}"), us()), "at 10 psig, 2 % and 2 %");
    EXPECT_EQ(format_message(message("at {0}"), si()), "at 0.69 barg");
}

TEST(ReportValue, RoundsFractionsThatArePuritiesDown) {
    EXPECT_EQ(format_value(0.979999, Dimension::fraction, si()), "97.99 %");
    EXPECT_EQ(format_value(0.0204, Dimension::fraction, si()), "2.04 %");
}

TEST(ReportMessage, LeavesWhatIsNoPlaceholder) {
    EXPECT_EQ(format_message(message("{7} {} {x} { {0"), us()), "{7} {} {x} { {0");
}

}  // namespace
}  // namespace oxfade::report
