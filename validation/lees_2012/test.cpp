#include <gtest/gtest.h>

#include "check.hpp"
#include "oxfade/flow/leak.hpp"
#include "tank.hpp"

using namespace oxfade;
using namespace oxfade::validation;

TEST(lees_2012, choked_blow_down) {
    constexpr double outside = 101325.0;  // far enough below for choking throughout
    const auto time = [](const Row& row) {
        return flow::blow_down_time(row.number("area_m2"), row.number("volume_m3"), row.number("upstream_pa"),
                                    row.number("end_pa"), outside, row.number("temperature_k"));
    };
    const auto area = [](const Row& row) {
        return 1e6 * flow::leak_area_from_test(row.number("volume_m3"), row.number("upstream_pa"),
                                               row.number("end_pa"), row.number("time_s"), outside,
                                               row.number("temperature_k"));
    };
    const auto run = [](const Row& row) {
        const Tank tank{row.number("volume_m3"), row.number("upstream_pa"), outside,
                        row.number("temperature_k"), row.number("area_m2")};
        return letting_down_time(tank, row.number("end_pa"));
    };
    check_rows("lees_2012", {{"flow::blow_down_time", time},
                             {"flow::leak_area_from_test", area},
                             {"engine::predict, blow-down", run}});
}
