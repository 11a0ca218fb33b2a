#include <gtest/gtest.h>

#include "penetration.hpp"

using namespace oxfade::validation;

TEST(callister_2007, penetration_rates) { check_rows("callister_2007", penetration_laws()); }
