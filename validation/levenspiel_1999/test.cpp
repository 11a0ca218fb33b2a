#include <gtest/gtest.h>

#include "check.hpp"
#include "oxfade/gas/mixture.hpp"
#include "purge.hpp"

using namespace oxfade;
using namespace oxfade::validation;

TEST(levenspiel_1999, tanks_in_series) {
    const auto residence_times = [](const Row& row) {
        const double oxygen = row.number("remaining") * gas::dry_air()[gas::Species::oxygen];
        return exchanges_until(1.0, oxygen, static_cast<int>(row.number("cells")));
    };
    check_rows("levenspiel_1999", {{"engine::predict, cells in series", residence_times}});
}
