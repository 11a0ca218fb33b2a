#include <gtest/gtest.h>

#include "diffusion.hpp"

using namespace oxfade::validation;

TEST(marrero_mason_1972, nitrogen_and_oxygen) {
    check_rows("marrero_mason_1972", {{"gas::diffusivity_times_pressure", diffusivity_cm2_s}});
}
