#include <gtest/gtest.h>

#include "check.hpp"
#include "oxfade/flow/orifice.hpp"

using namespace oxfade::validation;

TEST(iso_9300_2005, critical_flow_function) {
    check_rows("iso_9300_2005", {{"flow::choked_nozzle_function",
                                  [](const Row&) { return oxfade::flow::choked_nozzle_function; }}});
}
