#include "oxfade/flow/counterflow.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

namespace oxfade::flow {
namespace {

/// Air and nitrogen at 2.9 bar and 15 degC.
const CounterFlowGas air_in_nitrogen{0.32, 6.87e-6, 5.16e-6, 0.0};
constexpr double two_inch = 0.02625;
/// So much that neither inertia nor what the streams can carry sets a limit: weak flow.
constexpr double plenty = 1e9;

CounterFlowPipe pitched(double radius, double degrees) {
    const double pitch = degrees * std::numbers::pi / 180.0;
    return {radius, std::sin(pitch), std::cos(pitch)};
}

/// The gradient at a Rayleigh number g' G a^4/(nu D).
double gradient_at(double rayleigh, double radius, const CounterFlowGas& gas) {
    return rayleigh * gas.kinematic_viscosity * gas.diffusivity / (gas.reduced_gravity * std::pow(radius, 4));
}

double factor(const CounterFlowPipe& pipe, double rayleigh, double contrast) {
    const double gradient = gradient_at(rayleigh, pipe.radius, air_in_nitrogen);
    return counter_flow(pipe, air_in_nitrogen, gradient, contrast).spread / air_in_nitrogen.diffusivity;
}

TEST(CounterFlow, WeakFlowInLevelPipeIsThatOfErdoganAndChatwin) {
    for (const double rayleigh : {0.1, 1.0, 10.0, 100.0, 1000.0}) {
        const double expected = 7.0 / 46080.0 * rayleigh * rayleigh;
        EXPECT_NEAR(factor(pitched(two_inch, 0.0), rayleigh, plenty) - 1.0, expected, 2e-4 * expected)
            << rayleigh;
    }
}

TEST(CounterFlow, WeakFlowInPitchedPipeGrowsTowardsTheOnset) {
    for (const double degrees : {-60.0, -10.0, 2.0, 30.0}) {
        const CounterFlowPipe pipe = pitched(two_inch, degrees);
        for (const double rayleigh : {1.0, 30.0, 60.0}) {
            const double share = 1.0 - rayleigh * pipe.sine / 67.95;
            const double expected = 7.0 / 46080.0 * std::pow(rayleigh * pipe.cosine / share, 2);
            EXPECT_NEAR(factor(pipe, rayleigh, plenty) - 1.0, expected, 1e-3 * expected)
                << degrees << " degrees, Ra " << rayleigh;
        }
    }
}

TEST(CounterFlow, VerticalPipeStartsToFlowAtTaylorsRayleighNumber) {
    const CounterFlowPipe pipe = pitched(two_inch, 90.0);
    EXPECT_NEAR(factor(pipe, 50.0, 1.0), 1.0, 0.01);
    EXPECT_NEAR(factor(pipe, 62.0, 1.0), 1.0, 0.02);
    EXPECT_GT(factor(pipe, 75.0, 1.0), 2.0);
    EXPECT_GT(factor(pipe, 300.0, 1.0), 20.0);
}

TEST(CounterFlow, LightGasAboveHeavyOnlyDiffuses) {
    for (const double rayleigh : {1.0, 100.0, 1e4})
        EXPECT_NEAR(factor(pitched(two_inch, -90.0), rayleigh, 1.0), 1.0, 1e-3);
}

TEST(CounterFlow, TheSteeperThePipeTowardsItsMouthTheSlower) {
    double before = 1e9;
    for (const double degrees : {5.0, 1.0, 0.24, 0.0, -0.24, -1.0, -5.0, -20.0, -90.0}) {
        const double now = counter_flow(pitched(two_inch, degrees), air_in_nitrogen, 0.2, 0.5).spread;
        EXPECT_LT(now, before) << degrees;
        before = now;
    }
}

TEST(CounterFlow, TemperatureCountsAsDensity) {
    const CounterFlowPipe level = pitched(two_inch, 0.0);
    const double gradient = 0.1;
    CounterFlowGas gas = air_in_nitrogen;
    gas.other_gradient = -gas.reduced_gravity * gradient;  // holds composition in balance
    EXPECT_NEAR(counter_flow(level, gas, gradient, plenty).spread, gas.diffusivity, 5e-3 * gas.diffusivity);
    gas.other_gradient = gas.reduced_gravity * gradient;  // does as much again
    const double doubled = counter_flow(level, gas, gradient, plenty).spread - gas.diffusivity;
    const double alone = counter_flow(level, air_in_nitrogen, gradient, plenty).spread - gas.diffusivity;
    EXPECT_NEAR(doubled, 4.0 * alone, 1e-3 * doubled);
}

TEST(CounterFlow, TemperatureAloneStirsToo) {
    CounterFlowGas gas = air_in_nitrogen;
    gas.other_gradient = 0.01;
    const double rayleigh =
        gas.other_gradient * std::pow(two_inch, 4) / (gas.kinematic_viscosity * gas.diffusivity);
    const CounterFlowExchange exchange = counter_flow(pitched(two_inch, 0.0), gas, 0.0, 1e-3);
    EXPECT_NEAR(exchange.spread, exchange.slope, 1e-8 * exchange.slope);  // as well as the speed is known
    EXPECT_NEAR(exchange.slope / gas.diffusivity - 1.0, 7.0 / 46080.0 * rayleigh * rayleigh, 0.02);
}

/// A pipe of 10 to 300 mm, gas at 1 to 8 bar, anything that can stand in a cell.
struct Random {
    CounterFlowPipe pipe;
    CounterFlowGas gas;
    double gradient, contrast;
};

class Draw {
  public:
    Random operator()(bool warm) {
        const double bars = even_in_log(1.0, 8.0), contrast = even_in_log(1e-9, 1.0);
        const double nitrogen = even_in_log(1e-3, 0.5);
        const double other = warm ? even(-1.0, 1.0) * even_in_log(1e-6, 0.2) : 0.0;
        const double gradient = contrast / even_in_log(1e-3, 100.0) * even(0.0, 1.0);
        return {pitched(even_in_log(0.005, 0.15), even(-90.0, 90.0)),
                {nitrogen, 2e-5 / bars, 1.5e-5 / bars, other},
                gradient,
                contrast};
    }

  private:
    double even(double low, double high) { return std::uniform_real_distribution<>(low, high)(random_); }
    double even_in_log(double low, double high) { return std::exp(even(std::log(low), std::log(high))); }
    std::mt19937_64 random_{20260101};
};

TEST(CounterFlow, NeverCarriesLessThanDiffusionNorAgainstTheGradient) {
    Draw draw;
    for (int i = 0; i < 20000; ++i) {
        const Random r = draw(i % 2 == 0);
        const CounterFlowExchange e = counter_flow(r.pipe, r.gas, r.gradient, r.contrast);
        ASSERT_TRUE(std::isfinite(e.spread) && std::isfinite(e.slope) && std::isfinite(e.contrast_slope));
        ASSERT_GE(e.spread, r.gas.diffusivity);
        // No faster than the waves between heavy and light gas allow.
        const double contrast = r.contrast + r.pipe.radius * r.gradient;
        const double drive = r.gas.reduced_gravity * contrast + 0.2 * 30.0 * r.pipe.radius;
        ASSERT_LE((e.spread - r.gas.diffusivity) * r.gradient,
                  10.0 * contrast * std::sqrt(drive * r.pipe.radius));
    }
}

TEST(CounterFlow, GrowsWithTheGradient) {
    Draw draw;
    for (int i = 0; i < 20000; ++i) {
        const Random r = draw(false);
        const CounterFlowExchange e = counter_flow(r.pipe, r.gas, r.gradient, r.contrast);
        ASSERT_GE(e.slope, 0.999 * r.gas.diffusivity);
        ASSERT_GE(1.1 * counter_flow(r.pipe, r.gas, 1.1 * r.gradient, r.contrast).spread, e.spread);
    }
}

TEST(CounterFlow, SlopesAreThoseOfDifferences) {
    Draw draw;
    for (int i = 0; i < 20000; ++i) {
        const Random r = draw(i % 4 == 0);
        const auto flux = [&](double gradient, double contrast) {
            return gradient * counter_flow(r.pipe, r.gas, gradient, contrast).spread;
        };
        const double h = 1e-4;
        const CounterFlowExchange e = counter_flow(r.pipe, r.gas, r.gradient, r.contrast);
        const double by_gradient =
            (flux((1 + h) * r.gradient, r.contrast) - flux((1 - h) * r.gradient, r.contrast)) /
            (2 * h * r.gradient);
        const double by_contrast =
            (flux(r.gradient, (1 + h) * r.contrast) - flux(r.gradient, (1 - h) * r.contrast)) /
            (2 * h * r.contrast);
        ASSERT_NEAR(e.slope, by_gradient, 2e-3 * (std::abs(by_gradient) + e.spread));
        ASSERT_NEAR(e.contrast_slope, by_contrast,
                    2e-3 * (std::abs(by_contrast) + e.spread * r.gradient / r.contrast));
    }
}

TEST(CounterFlow, NothingHappensWhereNothingDiffers) {
    for (const double degrees : {-90.0, 0.0, 45.0, 90.0}) {
        const CounterFlowExchange e = counter_flow(pitched(two_inch, degrees), air_in_nitrogen, 0.0, 0.0);
        EXPECT_EQ(e.spread, air_in_nitrogen.diffusivity);
        EXPECT_EQ(e.slope, air_in_nitrogen.diffusivity);
    }
}

}  // namespace
}  // namespace oxfade::flow
