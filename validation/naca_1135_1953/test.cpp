#include <gtest/gtest.h>

#include "isentropic.hpp"

using namespace oxfade::validation;

TEST(naca_1135_1953, isentropic_table) {
    check_rows("naca_1135_1953",
               {{"flow::nozzle_function", area_ratio_at_mach},
                {"flow::nozzle_function inverted", pressure_ratio_at_area_ratio},
                {"flow::critical_ratio", [](const Row&) { return oxfade::flow::critical_ratio; }}});
}
