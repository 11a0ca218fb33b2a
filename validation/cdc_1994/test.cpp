#include <gtest/gtest.h>

#include "check.hpp"
#include "oxfade/gas/mixture.hpp"
#include "purge.hpp"

using namespace oxfade;
using namespace oxfade::validation;

TEST(cdc_1994, removal_times) {
    const auto minutes = [](const Row& row) {
        const double oxygen = row.number("remaining") * gas::dry_air()[gas::Species::oxygen];
        return exchanges_until(1.0, oxygen) / row.number("air_changes_per_s") / 60.0;
    };
    check_rows("cdc_1994", {{"engine::predict, sweep", minutes}});
}
