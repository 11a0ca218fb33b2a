#include "oxfade/gas/atmosphere.hpp"

#include <gtest/gtest.h>

#include <limits>
#include <stdexcept>

namespace oxfade::gas {
namespace {

TEST(Atmosphere, FallsWithAltitude) {
    EXPECT_DOUBLE_EQ(air_pressure_at_altitude(0.0), 101325.0);
    EXPECT_GT(air_pressure_at_altitude(-100.0), 101325.0);
    EXPECT_LT(air_pressure_at_altitude(100.0), 101325.0);
}

TEST(Atmosphere, RefusesWhatIsOutsideItsLowestLayer) {
    EXPECT_THROW(air_pressure_at_altitude(-5001.0), std::domain_error);
    EXPECT_THROW(air_pressure_at_altitude(11001.0), std::domain_error);
    EXPECT_THROW(air_pressure_at_altitude(std::numeric_limits<double>::quiet_NaN()), std::domain_error);
}

}  // namespace
}  // namespace oxfade::gas
