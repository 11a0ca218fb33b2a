#include <gtest/gtest.h>

#include "nozzle.hpp"

using namespace oxfade::validation;

TEST(munson_2009, duct_from_the_open_air) {
    check_rows("munson_2009", {{"flow::orifice_flow", nozzle_mass_flow}});
}
