#include <gmock/gmock.h>

#include "oxfade/error.hpp"
#include "support/scenario_text.hpp"

namespace oxfade {
namespace {

using sample::only_complaint;
using testing::HasSubstr;
using testing::StartsWith;

std::string site(const std::string& temperature) {
    return sample::with("temperature = \"20 degC\"", "temperature = " + temperature);
}

TEST(TemperatureMessages, SwingAndTableAreRead) {
    const auto swing = scenario::read_text(
        site(R"({ mean = "4 degC", swing = "6 K", period = "12 h", warmest = "3 h" })"), "s");
    const auto& course = std::get<plant::DailySwing>(swing.plant.site.temperature.course);
    EXPECT_DOUBLE_EQ(course.mean, 277.15);
    EXPECT_DOUBLE_EQ(course.swing, 6.0);
    EXPECT_DOUBLE_EQ(course.period, 43200.0);
    EXPECT_DOUBLE_EQ(course.warmest, 10800.0);
    const auto table = scenario::read_text(
        site(R"({ table = [["0 h", "4 degC"], ["6 h", "-2 degC"]], period = "24 h" })"), "s");
    const auto& knots = std::get<plant::TemperatureTable>(table.plant.site.temperature.course);
    ASSERT_EQ(knots.knots.size(), 2U);
    EXPECT_DOUBLE_EQ(knots.knots[1].time, 21600.0);
    EXPECT_DOUBLE_EQ(knots.knots[1].temperature, 271.15);
    EXPECT_EQ(knots.period, 86400.0);
}

TEST(TemperatureMessages, RiserHasItsOwn) {
    const auto text =
        sample::with("set_pressure = \"30 psig\"", "set_pressure = \"30 psig\"\ntemperature = \"-20 degC\"");
    EXPECT_DOUBLE_EQ(scenario::read_text(text, "s").plant.risers[0].temperature->mean(), 253.15);
}

TEST(TemperatureMessages, NothingSaid) {
    EXPECT_THAT(only_complaint(site("{ period = \"24 h\" }")),
                StartsWith("sample.toml:7: site.temperature: does not say how it runs"));
    EXPECT_THAT(only_complaint(site("{ mean = \"4 degC\" }")),
                StartsWith("sample.toml:7: site.temperature.swing: this key is missing"));
}

TEST(TemperatureMessages, SwingOutOfRange) {
    EXPECT_THAT(only_complaint(site("{ mean = \"4 degC\", swing = \"300 K\" }")),
                HasSubstr("site.temperature.swing: reaches from 127.15 K to 427.15 K"));
}

TEST(TemperatureMessages, TableThatIsNone) {
    EXPECT_THAT(only_complaint(site("{ table = [\"4 degC\"] }")),
                HasSubstr("site.temperature.table: a list stands here"));
    EXPECT_THAT(only_complaint(site("{ table = [] }")), HasSubstr("site.temperature.table: has no entries"));
    EXPECT_THAT(only_complaint(site("{ table = [[\"0 h\", \"4 psi\"]] }")),
                HasSubstr("site.temperature.table.0.1: a temperature is wanted"));
}

TEST(TemperatureMessages, TimesThatDoNotRise) {
    EXPECT_THAT(only_complaint(site("{ table = [[\"6 h\", \"4 degC\"], [\"6 h\", \"5 degC\"]] }")),
                HasSubstr("site.temperature.table.1.0: is not later than the entry before it"));
}

TEST(TemperatureMessages, PeriodTooShort) {
    const std::string table = "{ table = [[\"0 h\", \"4 degC\"], [\"24 h\", \"5 degC\"]], period = ";
    EXPECT_THAT(only_complaint(site(table + "\"20 h\" }")),
                HasSubstr("site.temperature.period: is shorter than the table"));
    EXPECT_THAT(only_complaint(site(table + "\"24 h\" }")), HasSubstr("would have the temperature jump"));
}

}  // namespace
}  // namespace oxfade
