#include <gtest/gtest.h>

#include "purge_laws.hpp"

using namespace oxfade::validation;

TEST(branan_2005, purging) { check_rows("branan_2005", purge_laws()); }
