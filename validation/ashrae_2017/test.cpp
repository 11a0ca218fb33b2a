#include <gtest/gtest.h>

#include "saturation.hpp"

using namespace oxfade::validation;

TEST(ashrae_2017, water_vapour) { check_rows("ashrae_2017", saturation_laws()); }
