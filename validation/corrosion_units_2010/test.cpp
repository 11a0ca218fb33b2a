#include <gtest/gtest.h>

#include "penetration.hpp"

using namespace oxfade::validation;

TEST(corrosion_units_2010, penetration_rates) { check_rows("corrosion_units_2010", penetration_laws()); }
