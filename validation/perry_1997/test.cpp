#include <gtest/gtest.h>

#include "ideal_gas.hpp"

using namespace oxfade::validation;

TEST(perry_1997, what_the_ideal_gas_costs) {
    check_rows("perry_1997", {{"gas::moles", moles_in_cubic_metre}});
}
