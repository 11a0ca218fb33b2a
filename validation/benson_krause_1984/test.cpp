#include <gtest/gtest.h>

#include "check.hpp"
#include "oxfade/gas/dissolved.hpp"

using namespace oxfade::validation;

TEST(benson_krause_1984, dissolved_oxygen) {
    const auto milligrams = [](const Row& row) {
        return 1e3 * oxfade::gas::oxygen_saturation(row.number("pressure_pa"), row.number("temperature_k"));
    };
    check_rows("benson_krause_1984", {{"gas::oxygen_saturation", milligrams}});
}
