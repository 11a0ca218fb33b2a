#include <gtest/gtest.h>

#include "saturation.hpp"

using namespace oxfade::validation;

TEST(iapws_r7_1997, water_vapour) { check_rows("iapws_r7_1997", saturation_laws()); }
