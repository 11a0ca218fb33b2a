#include <gtest/gtest.h>

#include "ideal_gas.hpp"

using namespace oxfade::validation;

TEST(span_2000, what_the_ideal_gas_costs) { check_rows("span_2000", {{"gas::moles", moles_in_cubic_metre}}); }
