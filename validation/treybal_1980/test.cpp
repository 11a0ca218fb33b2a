#include <gtest/gtest.h>

#include "diffusion.hpp"

using namespace oxfade::validation;

TEST(treybal_1980, nitrogen_and_oxygen) {
    check_rows("treybal_1980", {{"gas::diffusivity_times_pressure", diffusivity_cm2_s}});
}
