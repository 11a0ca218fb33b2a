// What the source does, counted by hand (model.md section 6).
#include <cmath>

#include "support/hole.hpp"
#include "support/plants.hpp"
#include "support/run.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

constexpr double receiver_volume = 0.3, start = 7e5, stop = 9e5, air_below = 6e5;

/// A held riser whose leak draws a constant flow, the gases being of one molar mass.
plant::Plant drawing_plant(double draw, double nitrogen, double air, double duration) {
    plant::Generator source = generator(purity_as_heavy_as_air());
    source.nitrogen_flow = standard_flow(nitrogen);
    source.air_flow = standard_flow(air);
    plant::Riser riser = full_riser({vessel("main", 1.0)});
    const double per_area = choked_flow(1.0, set_pressure, air_mass());
    riser.leaks.push_back(hole("main", std::sqrt(draw / per_area / effective_area(1.0))));
    return plant_of(std::move(riser), source, duration);
}

double held(double pressure) { return moles_of(pressure, receiver_volume); }

struct Cycle {
    double off, on;
    double whole() const { return off + on; }
};

TEST(SourceRules, GeneratorCyclesBetweenStartAndStop) {
    const double draw = 0.01, nitrogen = 0.025;
    const Cycle cycle{held(stop - start) / draw, held(stop - start) / (nitrogen - draw)};
    for (const double part : {0.25, 0.95}) {
        const double duration = 7.0 * cycle.whole() + part * cycle.whole();
        const auto out = run(drawing_plant(draw, nitrogen, 0.1, duration));
        const double under_way = std::max(0.0, part * cycle.whole() - cycle.off);
        EXPECT_NEAR(out.source.running, 7.0 * cycle.on + under_way, 0.05);
        EXPECT_EQ(out.source.starts, under_way > 0.0 ? 8 : 7);
        EXPECT_EQ(out.source.on_air, 0.0);
        EXPECT_EQ(out.source.made_air, 0.0);
        EXPECT_NEAR(out.source.made_nitrogen, nitrogen * out.source.running, 1e-9);
        EXPECT_NEAR(out.risers[0].leaked, draw * duration, 1e-6 * draw * duration);
    }
}

TEST(SourceRules, SteadyDailyRunIsTheShareOfTimeRunning) {
    const double draw = 0.01, nitrogen = 0.025;
    const auto out = run(drawing_plant(draw, nitrogen, 0.1, 10.0 * day));
    ASSERT_TRUE(out.source.steady_daily_run);
    EXPECT_NEAR(*out.source.steady_daily_run, day * draw / nitrogen, 1e-5 * day);
}

TEST(SourceRules, FallsBackOnAirAndStaysOnAirUntilStop) {
    const double draw = 0.04, nitrogen = 0.02, air = 0.1;
    const double off = held(stop - start) / draw, weak = held(start - air_below) / (draw - nitrogen),
                 strong = held(stop - air_below) / (air - draw), whole = off + weak + strong;
    for (const double part : {0.1, 0.6, 0.97}) {
        const double duration = (5.0 + part) * whole, rest = part * whole;
        const auto out = run(drawing_plant(draw, nitrogen, air, duration));
        const double on_nitrogen = 5.0 * weak + std::clamp(rest - off, 0.0, weak);
        const double on_air = 5.0 * strong + std::max(0.0, rest - off - weak);
        EXPECT_NEAR(out.source.on_air, on_air, 0.05) << part;
        EXPECT_NEAR(out.source.running - out.source.on_air, on_nitrogen, 0.05) << part;
        EXPECT_NEAR(out.source.air_after_fill, on_air, 0.05) << part;
        EXPECT_EQ(out.source.starts, rest > off ? 6 : 5);
    }
}

TEST(SourceRules, EnergyIsPowerTimesRunning) {
    plant::Plant plant = drawing_plant(0.04, 0.02, 0.1, 30000.0);
    EXPECT_FALSE(run(plant).source.energy);
    std::get<plant::Generator>(plant.source).power = 4000.0;
    const auto out = run(plant);
    ASSERT_TRUE(out.source.energy);
    EXPECT_DOUBLE_EQ(*out.source.energy, 4000.0 * out.source.running);
}

TEST(SourceRules, CompressorGivesAirOnly) {
    plant::Plant plant = drawing_plant(0.01, 0.02, 0.1, 50000.0);
    plant.source = plant::Compressor{standard_flow(0.025), 2000.0, {0.3, start, stop, stop, {}}};
    const auto out = run(plant);
    const Cycle cycle{held(stop - start) / 0.01, held(stop - start) / 0.015};
    EXPECT_EQ(out.source.starts,
              static_cast<int>(std::ceil(50000.0 / cycle.whole() - cycle.off / cycle.whole())));
    EXPECT_EQ(out.source.on_air, out.source.running);
    EXPECT_EQ(out.source.air_after_fill, 0.0);
    EXPECT_EQ(out.source.made_nitrogen, 0.0);
    EXPECT_NEAR(out.risers[0].pipes[0].oxygen[0], 0.209476, 1e-12);
    EXPECT_EQ(out.risers[0].not_met_because, outcome::Code::target_above_purity);
}

TEST(SourceRules, AirOfTheFirstFillIsNotCountedAsFallingBack) {
    // The receiver starts empty: the fill is made with air, which is as it should be.
    const auto out = run(two_pipe_riser(0.03 * inch));
    EXPECT_GT(out.source.on_air, 1000.0);
    EXPECT_EQ(out.source.air_after_fill, 0.0);
}

TEST(SourceRules, ReceiverIsWellMixed) {
    // Air in the receiver, product made into it while it is drawn from: z falls as in any stirred vessel.
    plant::Plant plant = drawing_plant(0.02, 0.02, 0.1, 1.0);
    auto& source = std::get<plant::Generator>(plant.source);
    source.receiver.initial_pressure = start;
    source.receiver.initial_gas = plant::InitialGas::air;
    plant.risers[0].pipes[0].shape = plant::VolumeOnly{1e-3};
    plant.duration = 2.0 * held(start) / 0.02;
    const auto out = run(plant, tight());
    // The riser lags by its own small residence time.
    const double tau = held(start) / 0.02, lag = moles_of(set_pressure, 1e-3) / 0.02;
    const double expected = std::exp(-2.0) / (1.0 - lag / tau);
    EXPECT_NEAR(final_air_fraction(out) / expected, 1.0, 1e-6);
}

}  // namespace
