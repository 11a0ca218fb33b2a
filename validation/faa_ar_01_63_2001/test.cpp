#include <gtest/gtest.h>

#include "purge_laws.hpp"

using namespace oxfade::validation;

TEST(faa_ar_01_63_2001, purging) { check_rows("faa_ar_01_63_2001", purge_laws()); }
