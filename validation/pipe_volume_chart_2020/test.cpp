#include <gtest/gtest.h>

#include "pipes.hpp"

using namespace oxfade::validation;

TEST(pipe_volume_chart_2020, schedule_40) {
    const auto gallons = [](const Row& row) { return pipe_volume(row) * foot / us_gallon; };
    const auto litres = [](const Row& row) { return pipe_volume(row) * 1e3; };
    check_rows("pipe_volume_chart_2020",
               {{"plant::find_pipe_size volume", gallons}, {"plant::find_pipe_size volume metric", litres}});
}
