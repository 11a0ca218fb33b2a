#include <gtest/gtest.h>

#include "pipes.hpp"

using namespace oxfade::validation;

TEST(asme_b36_10m_2004, sizes) {
    check_rows("asme_b36_10m_2004",
               {{"plant::find_pipe_size outside",
                 [](const Row& row) { return pipe_of(row).outside_diameter / inch; }},
                {"plant::find_pipe_size wall", [](const Row& row) { return pipe_of(row).wall / inch; }},
                {"plant::find_pipe_size bore", pipe_bore}});
}
