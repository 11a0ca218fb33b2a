#include <gtest/gtest.h>

#include "isentropic.hpp"

using namespace oxfade::validation;

TEST(crowe_2009, isentropic_table) {
    check_rows("crowe_2009", {{"flow::nozzle_function", area_ratio_at_mach},
                              {"flow::nozzle_function inverted", pressure_ratio_at_area_ratio}});
}
