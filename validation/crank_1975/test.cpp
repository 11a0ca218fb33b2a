#include <gtest/gtest.h>

#include "check.hpp"
#include "purge.hpp"

using namespace oxfade::validation;

TEST(crank_1975, still_dead_end) {
    const auto percent_lost = [](const Row& row) {
        return 100.0 * share_lost_by_diffusion(row.number("fourier"));
    };
    check_rows("crank_1975", {{"engine::predict, dead end", percent_lost}});
}
