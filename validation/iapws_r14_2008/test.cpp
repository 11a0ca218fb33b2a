#include <gtest/gtest.h>

#include "saturation.hpp"

using namespace oxfade::validation;

TEST(iapws_r14_2008, water_vapour) { check_rows("iapws_r14_2008", saturation_laws()); }
