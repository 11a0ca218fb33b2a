#include <gtest/gtest.h>

#include "diffusion.hpp"

using namespace oxfade::validation;

TEST(fuller_1966, nitrogen_and_oxygen) {
    check_rows("fuller_1966", {{"gas::diffusivity_times_pressure", diffusivity_cm2_s}});
}
