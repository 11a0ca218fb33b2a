#include <gtest/gtest.h>

#include "diffusion.hpp"

using namespace oxfade::validation;

TEST(dutta_2007, nitrogen_and_oxygen) {
    check_rows("dutta_2007", {{"gas::diffusivity_times_pressure", diffusivity_cm2_s}});
}
