#include <gtest/gtest.h>

#include "purge_laws.hpp"

using namespace oxfade::validation;

TEST(crowl_louvar_2002, purging) { check_rows("crowl_louvar_2002", purge_laws()); }
