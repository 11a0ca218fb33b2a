#include "oxfade/plant/pipe_sizes.hpp"

#include <gtest/gtest.h>

namespace oxfade::plant {
namespace {

constexpr double inch = 0.0254;

TEST(PipeSizes, GiveInsideDiameters) {
    // ASME B36.10M: outside diameter less twice the wall.
    EXPECT_NEAR(find_pipe_size("4", "10").value().bore(), 4.260 * inch, 1e-12);
    EXPECT_NEAR(find_pipe_size("4", "40").value().bore(), 4.026 * inch, 1e-12);
    EXPECT_NEAR(find_pipe_size("1", "40").value().bore(), 1.049 * inch, 1e-12);
    EXPECT_NEAR(find_pipe_size("2-1/2", "5").value().bore(), 2.709 * inch, 1e-12);
    EXPECT_NEAR(find_pipe_size("8", "10").value().bore(), 8.329 * inch, 1e-12);
    EXPECT_NEAR(find_pipe_size("8", "light").value().bore(), 8.249 * inch, 1e-12);
    EXPECT_NEAR(find_pipe_size("12", "40").value().bore(), 11.938 * inch, 1e-12);
}

TEST(PipeSizes, TakeTheWaysANominalSizeIsWritten) {
    for (const char* nominal : {"1 1/4", "1-1/4", "1.25", "1 1/4 in", "1-1/4\"", " 1.25 inch "}) {
        const auto size = find_pipe_size(nominal, "40");
        ASSERT_TRUE(size) << nominal;
        EXPECT_EQ(size->nominal, "1-1/4");
    }
    EXPECT_TRUE(find_pipe_size("1/2 in", "40"));
}

TEST(PipeSizes, HaveAMetricName) {
    for (const char* nominal : {"DN32", "DN 32", "dn32"}) {
        const auto size = find_pipe_size(nominal, "40");
        ASSERT_TRUE(size) << nominal;
        EXPECT_EQ(size->nominal, "1-1/4");
        EXPECT_EQ(size->dn, 32);
    }
    EXPECT_FALSE(find_pipe_size("DN33", "40"));
    EXPECT_FALSE(find_pipe_size("DN32 mm", "40"));
    EXPECT_EQ(schedules_of("DN200").size(), 5U);
}

TEST(PipeSizes, TakeTheWaysAScheduleIsWritten) {
    for (const char* schedule : {"10", "Sch 10", "sch. 10", "SCHEDULE 10", " 10 "}) {
        EXPECT_TRUE(find_pipe_size("4", schedule)) << schedule;
    }
    EXPECT_TRUE(find_pipe_size("10 in", "Light"));
}

TEST(PipeSizes, GiveNothingForWhatTheyDoNotHold) {
    EXPECT_FALSE(find_pipe_size("4", "20"));
    EXPECT_FALSE(find_pipe_size("4", "light"));
    EXPECT_FALSE(find_pipe_size("7", "40"));
    EXPECT_FALSE(find_pipe_size("100 mm", "40"));
    EXPECT_FALSE(find_pipe_size("", ""));
}

TEST(PipeSizes, ListTheSchedulesOfASize) {
    EXPECT_EQ(schedules_of("4 in"), (std::vector<std::string>{"5", "10", "40"}));
    EXPECT_EQ(schedules_of("8"), (std::vector<std::string>{"5", "10", "30", "40", "light"}));
    EXPECT_TRUE(schedules_of("7").empty());
}

TEST(PipeSizes, GrowWithNominalSizeAndThinWithSchedule) {
    double outside = 0.0;
    for (const PipeSize& size : all_pipe_sizes()) {
        EXPECT_GE(size.outside_diameter, outside);
        EXPECT_GT(size.bore(), 0.8 * size.outside_diameter * 0.9);
        outside = size.outside_diameter;
    }
    EXPECT_EQ(all_pipe_sizes().size(), 50U);
}

}  // namespace
}  // namespace oxfade::plant
