#include <gtest/gtest.h>

#include "nozzle.hpp"

using namespace oxfade::validation;

TEST(moran_shapiro_2008, converging_nozzle) {
    check_rows("moran_shapiro_2008", {{"flow::orifice_flow", nozzle_mass_flow}});
}
