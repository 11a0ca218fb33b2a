#include <gmock/gmock.h>

#include <array>
#include <filesystem>
#include <fstream>

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

TEST(Seasons, ComeOnTopOfTheDay) {
    const auto text = sample::with("duration =", "start = 2026-01-20T15:00:00\nduration =",
                                   site(R"({ mean = "10 degC", swing = "8 K", season = "20 K" })"));
    const auto scenario = sample::read(text);
    const plant::Temperature& course = scenario.plant.site.temperature;
    ASSERT_EQ(scenario.plant.assumed.size(), 1U);
    EXPECT_EQ(scenario.plant.assumed[0].key, "site.temperature.season_warmest");
    EXPECT_EQ(scenario.plant.assumed[0].value, "2026-07-20");
    EXPECT_NEAR(course.at(0.0), 283.15 + 4.0 - 10.0, 0.02);              // a winter's afternoon
    EXPECT_NEAR(course.at(181.0 * 86400.0), 283.15 + 4.0 + 10.0, 0.02);  // a summer's
    EXPECT_DOUBLE_EQ(course.coldest(), 269.15);
    EXPECT_DOUBLE_EQ(course.warmest(), 297.15);
    const double step = 60.0, slope = (course.at(1e6 + step) - course.at(1e6 - step)) / (2 * step);
    EXPECT_NEAR(course.slope_at(1e6), slope, 1e-8);
}

TEST(Seasons, AloneAndWithADate) {
    const auto read = [](const std::string& temperature) {
        return std::get<plant::DailySwing>(sample::read(site(temperature)).plant.site.temperature.course);
    };
    const auto alone = read(R"({ mean = "10 degC", season = "20 K", season_warmest = "100 d" })");
    EXPECT_DOUBLE_EQ(alone.swing, 0.0);
    EXPECT_DOUBLE_EQ(alone.season_warmest, 8'640'000.0);
    EXPECT_THAT(only_complaint(site(R"({ mean = "10 degC", season = "20 K" })")),
                HasSubstr("site.temperature.season_warmest: this key is missing"));
    EXPECT_THAT(only_complaint(site(R"({ mean = "10 degC", swing = "2 K", season_warmest = "3 d" })")),
                HasSubstr("site.temperature.season_warmest: there is no `season`"));
    EXPECT_THAT(only_complaint(site(R"({ mean = "10 degC", season = "200 K", season_warmest = "3 d" })")),
                HasSubstr("site.temperature.swing: reaches from 183.15 K"));
}

TEST(TemperatureTables, MayHaveManyLines) {
    std::string rows;
    for (int h = 0; h < 1000; ++h) rows += "  [\"" + std::to_string(h) + " h\", \"4 degC\"],\n";
    const auto text =
        sample::with("temperature = \"20 degC\"", "[site.temperature]\ntable = [\n" + rows + "]");
    const auto scenario = sample::read(text);
    EXPECT_EQ(std::get<plant::TemperatureTable>(scenario.plant.site.temperature.course).knots.size(), 1000U);
}

/// A weather file beside a scenario that names it.
class WeatherFile : public testing::Test {
  protected:
    void SetUp() override {
        folder_ =
            std::filesystem::path(testing::TempDir()) /
            (std::string("oxfade weather ") + testing::UnitTest::GetInstance()->current_test_info()->name());
        std::filesystem::create_directories(folder_);
    }
    void TearDown() override { std::filesystem::remove_all(folder_); }

    void write(const std::string& text) const { std::ofstream(folder_ / "weather.csv") << text; }
    scenario::Scenario read(const std::string& start = "") const {
        std::string text = site("{ file = \"weather.csv\" }");
        if (!start.empty()) text = sample::with("duration =", "start = " + start + "\nduration =", text);
        return scenario::read_text(text, (folder_ / "sample.toml").string());
    }
    std::vector<plant::TemperatureTable::Knot> knots(const std::string& start = "") const {
        return std::get<plant::TemperatureTable>(read(start).plant.site.temperature.course).knots;
    }
    std::vector<std::string> refused(const std::string& start = "") const {
        std::vector<std::string> lines;
        try {
            read(start);
        } catch (const InputError& error) {
            for (Problem problem : error.problems()) {
                problem.file = std::filesystem::path(problem.file).filename().string();
                lines.push_back(to_string(problem));
            }
        }
        return lines;
    }

    /// A year of hours in the EPW format, its temperature the day of the year / 10 degC.
    static std::string year(int hours = 8760) {
        std::string text = "LOCATION,Nowhere,-,-,-,-,0,0,0,0\n";
        for (int k = 1; k < 8; ++k) text += "HEADING " + std::to_string(k) + "\n";
        const std::array<int, 12> days{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
        int row = 0;
        for (int month = 1; month <= 12; ++month) {
            for (int day = 1; day <= days.at(static_cast<std::size_t>(month - 1)); ++day) {
                for (int hour = 1; hour <= 24 && row < hours; ++hour, ++row) {
                    text += "1999," + std::to_string(month) + "," + std::to_string(day) + "," +
                            std::to_string(hour) + ",60,flags," + std::to_string(row / 24 / 10.0) + ",0,50\n";
                }
            }
        }
        return text;
    }

    std::filesystem::path folder_;
};

TEST_F(WeatherFile, TableOfTimes) {
    write("# from the logger\ntime [h],temperature [degC]\n0,4\n6,-2.5\n12,10\n");
    const auto found = knots();
    ASSERT_EQ(found.size(), 3U);
    EXPECT_DOUBLE_EQ(found[1].time, 21'600.0);
    EXPECT_DOUBLE_EQ(found[1].temperature, 270.65);
}

TEST_F(WeatherFile, TableOfDates) {
    write("time,temperature\n2026-03-01 12:00,50 F\n2026-03-02 12:00,59 F\n2026-03-03 00:00,41 F\n");
    const auto found = knots("2026-03-02");
    ASSERT_EQ(found.size(), 3U);
    EXPECT_DOUBLE_EQ(found[0].time, 0.0);
    EXPECT_NEAR(found[0].temperature, 285.65, 1e-9);  // half way
    EXPECT_DOUBLE_EQ(found[2].time, 86'400.0);
}

TEST_F(WeatherFile, BadRows) {
    write("time,temperature [degC]\n0 h,4\nsoon,5\n2 h,\n3 h,400\n1 h,5\n");
    EXPECT_THAT(
        refused(),
        testing::UnorderedElementsAre(
            StartsWith("weather.csv:3: time: `soon` does not begin with a number (given: soon)"),
            StartsWith("weather.csv:4: temperature: is missing; a temperature is wanted"),
            StartsWith("weather.csv:5: temperature: is out of range (given: 400); from 200 K to 400 K")));
    write("time,temperature [degC]\n2 h,4\n1 h,5\n");
    EXPECT_THAT(refused(),
                testing::ElementsAre(StartsWith("weather.csv:3: time: is not later than the row before")));
    write("hour,degrees\n2 h,4\n");
    EXPECT_THAT(refused(), testing::ElementsAre(StartsWith("weather.csv:1: time: there is no such column")));
    write("");
    EXPECT_THAT(refused(), testing::ElementsAre(HasSubstr("there are no temperatures in it")));
}

TEST_F(WeatherFile, Missing) {
    EXPECT_THAT(refused(), testing::ElementsAre(HasSubstr("site.temperature.file: ")));
}

TEST_F(WeatherFile, YearOfHoursFromTheStartOn) {
    write(year());
    const auto scenario = read("2026-03-02T08:00:00");
    const plant::Temperature& course = scenario.plant.site.temperature;
    EXPECT_THAT(scenario.plant.assumed, testing::IsEmpty());
    EXPECT_NEAR(course.at(3600.0), 273.15 + 6.0, 1e-9);             // 2 March is day 60, counted from 0
    EXPECT_NEAR(course.at(10.0 * 86400.0), 273.15 + 7.0, 1e-9);     // ten days later
    EXPECT_NEAR(course.at(365.0 * 86400.0), course.at(0.0), 1e-9);  // the year starts over
    EXPECT_EQ(std::get<plant::TemperatureTable>(course.course).knots.size(), 8760U);
}

TEST_F(WeatherFile, YearWithoutAStartBeginsInJanuary) {
    write(year());
    const auto scenario = read();
    ASSERT_EQ(scenario.plant.assumed.size(), 1U);
    EXPECT_EQ(scenario.plant.assumed[0].value, "1 January, 00:00");
    EXPECT_NEAR(scenario.plant.site.temperature.at(3600.0), 273.15, 1e-9);
}

TEST_F(WeatherFile, BadYears) {
    write(year(8000));
    EXPECT_THAT(refused(), testing::ElementsAre(HasSubstr("there are 8000 hourly rows in this EPW file")));
    write(sample::with(",flags,0.000000,", ",flags,99.9,", year()));
    EXPECT_THAT(refused(),
                testing::ElementsAre(StartsWith(
                    "weather.csv:9: dry bulb temperature (column 7): is the format's mark for a missing "
                    "value (given: 99.9); from -70 to 70 degC")));
    write(sample::with("1999,1,1,2,", "1999,1,1,3,", year()));
    EXPECT_THAT(refused(),
                testing::ElementsAre(StartsWith("weather.csv:10: month, day, hour (columns 2 to 4)")));
    write(sample::with("1999,1,1,2,", "1999,13,1,2,", year()));
    EXPECT_THAT(refused()[0], StartsWith("weather.csv:10: month (column 2): is out of range (given: 13)"));
}

}  // namespace
}  // namespace oxfade
