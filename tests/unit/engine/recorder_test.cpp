#include "engine/recorder.hpp"

#include <cmath>

#include "engine/uniform_dynamics.hpp"
#include "support/plants.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;
using engine::DenseStep;
using engine::Layout;
using engine::Machine;
using engine::State;

/// Two vessels of one mole each at target below an air fraction of one half; steps are made by hand.
class Recorders : public ::testing::Test {
  protected:
    Recorders() {
        plant::Plant plant =
            plant_of(full_riser({vessel("near", 1.0), vessel("far", 1.0)}), generator(0.98), 100.0);
        plant.target = 0.98 - 0.5 * (0.209476 - 0.02);  // air fraction 1/2
        net_ = engine::build_network(plant);
        layout_ = Layout(net_);
    }

    State state(double near, double far) const {
        State x = State::Zero(layout_.size());
        x[Layout::source] = 5.0;
        x[layout_.riser(0)] = 2.0;
        x[layout_.air(0)] = near;
        x[layout_.air(1)] = far;
        return x;
    }

    /// A straight step between two pairs of air fractions.
    DenseStep step(double begin, double size, std::pair<double, double> from,
                   std::pair<double, double> to) const {
        DenseStep dense;
        dense.begin = begin;
        dense.size = size;
        dense.x0 = state(from.first, from.second);
        dense.x1 = state(to.first, to.second);
        dense.f0 = dense.f1 = (dense.x1 - dense.x0) / size;
        return dense;
    }

    engine::Network net_;
    Layout layout_{net_};
    engine::Modes modes_;
};

using TargetWatch = Recorders;

TEST_F(TargetWatch, ARiserIsAtTargetWhenItsLastCompartmentIs) {
    engine::TargetWatch watch(net_, layout_, state(1.0, 1.0));
    watch.step(step(0.0, 10.0, {1.0, 1.0}, {0.0, 0.5 + 1e-9}), 1.0);
    EXPECT_TRUE(watch.stretches(0).empty());
    EXPECT_NEAR(watch.node_since(0).value_or(-1.0), 5.0, 1e-6);
    EXPECT_FALSE(watch.node_since(1));
    watch.step(step(10.0, 10.0, {0.0, 0.5 + 1e-9}, {0.0, 0.4}), 1.0);
    watch.finish(100.0);
    ASSERT_EQ(watch.stretches(0).size(), 1u);
    EXPECT_NEAR(watch.stretches(0)[0].begin, 10.0, 1e-3);
    EXPECT_EQ(watch.stretches(0)[0].end, 100.0);
}

TEST_F(TargetWatch, AStretchEndsWhenAnyCompartmentLeaves) {
    engine::TargetWatch watch(net_, layout_, state(1.0, 0.0));
    watch.step(step(0.0, 10.0, {1.0, 0.0}, {0.0, 0.0}), 1.0);
    watch.step(step(10.0, 10.0, {0.0, 0.0}, {0.0, 1.0}), 1.0);
    watch.finish(20.0);
    ASSERT_EQ(watch.stretches(0).size(), 1u);
    EXPECT_NEAR(watch.stretches(0)[0].begin, 5.0, 1e-6);
    EXPECT_NEAR(watch.stretches(0)[0].end, 15.0, 1e-6);
    EXPECT_FALSE(watch.node_since(1));
    EXPECT_TRUE(watch.was_at_target(1));
}

TEST_F(TargetWatch, AtTargetFromTheStart) {
    engine::TargetWatch watch(net_, layout_, state(0.5, 0.1));
    watch.step(step(0.0, 10.0, {0.5, 0.1}, {0.3, 0.1}), 1.0);
    watch.finish(10.0);
    ASSERT_EQ(watch.stretches(0).size(), 1u);
    EXPECT_EQ(watch.stretches(0)[0].begin, 0.0);
    EXPECT_EQ(watch.node_since(0), 0.0);
}

TEST_F(TargetWatch, SeesAPuffWithinOneStep) {
    DenseStep dense = step(0.0, 10.0, {0.6, 0.0}, {0.6, 0.0});
    dense.f0[layout_.air(0)] = -0.2;  // dips to 0.1 in the middle and comes back
    dense.f1[layout_.air(0)] = 0.2;
    engine::TargetWatch watch(net_, layout_, state(0.6, 0.0));
    watch.step(dense, 1.0);
    watch.finish(10.0);
    ASSERT_EQ(watch.stretches(0).size(), 1u);
    EXPECT_NEAR(0.5 * (watch.stretches(0)[0].begin + watch.stretches(0)[0].end), 5.0, 1e-9);
    EXPECT_FALSE(watch.node_since(0));
}

TEST_F(TargetWatch, LooksAtAStepOnlyAsFarAsItIsTaken) {
    engine::TargetWatch watch(net_, layout_, state(1.0, 0.0));
    watch.step(step(0.0, 10.0, {1.0, 0.0}, {0.0, 0.0}), 0.4);
    EXPECT_FALSE(watch.node_since(0));
    watch.step(step(4.0, 6.0, {0.6, 0.0}, {0.0, 0.0}), 1.0);
    EXPECT_NEAR(watch.node_since(0).value_or(-1.0), 5.0, 1e-6);
}

using HistoryRecorder = Recorders;

TEST_F(HistoryRecorder, RowsStandAtEvenTimesWhateverTheSteps) {
    engine::HistoryRecorder recorder(net_, layout_, modes_, 11);
    recorder.begin(state(1.0, 1.0));
    recorder.step(step(0.0, 37.0, {1.0, 1.0}, {0.63, 1.0}), 1.0);
    recorder.step(step(37.0, 1.0, {0.63, 1.0}, {0.62, 1.0}), 1.0);
    recorder.step(step(38.0, 80.0, {0.62, 1.0}, {-0.18, 1.0}), 62.0 / 80.0 + 1e-12);
    const auto history = recorder.take();
    ASSERT_EQ(history.times.size(), 11u);
    for (std::size_t k = 0; k < 11; ++k) {
        EXPECT_DOUBLE_EQ(history.times[k], 10.0 * static_cast<double>(k));
        const double z = 1.0 - 0.1 * static_cast<double>(k);
        EXPECT_NEAR(history.oxygen.at(k, 0), 0.02 + z * (0.209476 - 0.02), 1e-12);
        EXPECT_NEAR(history.oxygen.at(k, 1), 0.209476, 1e-12);
        EXPECT_NEAR(history.pressure.at(k, 0), 2.0 * net_.risers[0].pressure_per_mole, 1e-9);
    }
    EXPECT_EQ(history.receiver_pressure.size(), 11u);
}

TEST_F(HistoryRecorder, NoneWhenNoneIsWanted) {
    engine::HistoryRecorder recorder(net_, layout_, modes_, 0);
    recorder.begin(state(1.0, 1.0));
    recorder.step(step(0.0, 100.0, {1.0, 1.0}, {0.0, 1.0}), 1.0);
    EXPECT_TRUE(recorder.take().times.empty());
}

class SourceClock : public Recorders {
  protected:
    outcome::SourceOutcome result(const engine::SourceClock& clock) {
        engine::UniformDynamics dynamics(net_);
        engine::Switchboard switches(dynamics);
        return clock.result(net_.source, switches, dynamics.initial_state());
    }
};

TEST_F(SourceClock, AddsUpNitrogenAndAir) {
    engine::SourceClock clock(100.0);
    clock.run(Machine::air, 0.0, 10.0, false);
    clock.run(Machine::off, 10.0, 30.0, false);
    clock.run(Machine::nitrogen, 30.0, 45.0, true);
    const auto out = result(clock);
    EXPECT_DOUBLE_EQ(out.running, 25.0);
    EXPECT_DOUBLE_EQ(out.on_air, 10.0);
    EXPECT_DOUBLE_EQ(out.air_after_fill, 0.0);
    EXPECT_DOUBLE_EQ(out.made_air, 10.0 * net_.source.air_flow);
    EXPECT_DOUBLE_EQ(out.made_nitrogen, 15.0 * net_.source.nitrogen_flow);
}

TEST_F(SourceClock, AirAfterTheFillCountsOnlyOnceTheMachineHasLeftItsFillingRun) {
    engine::SourceClock clock(100.0);
    clock.run(Machine::air, 0.0, 10.0, false);
    clock.run(Machine::air, 10.0, 20.0, true);  // the run that filled goes on until full
    clock.run(Machine::off, 20.0, 30.0, true);
    clock.run(Machine::nitrogen, 30.0, 40.0, true);
    clock.run(Machine::air, 40.0, 47.0, true);
    EXPECT_DOUBLE_EQ(result(clock).air_after_fill, 7.0);
}

TEST_F(SourceClock, DailyRunCountsWholeCyclesOfTheLastQuarter) {
    engine::SourceClock clock(1000.0);
    for (double t = 0.0; t < 1000.0; t += 50.0) {
        clock.run(Machine::off, t, t + 30.0, true);
        clock.run(Machine::nitrogen, t + 30.0, t + 50.0, true);
    }
    EXPECT_NEAR(result(clock).steady_daily_run.value_or(0.0), 0.4 * 86400.0, 1e-6);
}

}  // namespace
