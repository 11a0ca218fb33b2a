#include <gtest/gtest.h>

#include "penetration.hpp"

using namespace oxfade::validation;

TEST(astm_g102_1989, penetration_rates) { check_rows("astm_g102_1989", penetration_laws()); }
