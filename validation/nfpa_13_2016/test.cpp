#include <gtest/gtest.h>

#include "pipes.hpp"

using namespace oxfade::validation;

TEST(nfpa_13_2016, light_wall_pipe) {
    check_rows("nfpa_13_2016", {{"plant::find_pipe_size bore", pipe_bore}});
}
