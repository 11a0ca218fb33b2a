#include <gtest/gtest.h>

#include "purge_laws.hpp"

using namespace oxfade::validation;

TEST(purge_problems_2010, purging) { check_rows("purge_problems_2010", purge_laws()); }
