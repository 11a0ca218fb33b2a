// The course of a run against its end, and against statics: pressures of zones that water parts, what passes
// a low point, how vents stand.
#include <cmath>

#include "oxfade/flow/dip.hpp"
#include "support/run.hpp"
#include "support/wet_plants.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;
using outcome::Passage;
using outcome::VentState;

/// A leaking vessel behind a trap, drained after a day.
plant::Plant drained_plant() {
    plant::Riser riser = sealed_riser(0.2);
    riser.leaks = {hole("far", 0.5e-3)};
    plant::Plant plant = plant_of(riser, cylinders(0.99), 2.0 * day);
    plant.actions = {{day, plant::Deed::drain, "riser", "", "", 0.0}};
    return plant;
}

TEST(HistoryOfWater, TellsWhatPassesAndWhatItHolds) {
    const outcome::Outcome out = run(drained_plant());
    const outcome::History& history = out.history;
    ASSERT_EQ(history.zone_pressure.columns, 2u);
    EXPECT_EQ(history.zone_of, (std::vector<std::size_t>{0, 1}));
    ASSERT_EQ(history.water.columns, 1u);
    ASSERT_EQ(history.passages.size(), history.times.size());
    const double strength = flow::seal_strength(0.2, 293.15);
    EXPECT_EQ(history.passages.front(), Passage::none);
    for (std::size_t row = 0; row < history.times.size(); ++row) {
        const double time = history.times[row];
        const double before = history.pressure_at(row, 0, 0), behind = history.pressure_at(row, 1, 0);
        EXPECT_DOUBLE_EQ(before, history.pressure.at(row, 0));
        if (time <= day) {  // the row at which it is drained says how it was before
            EXPECT_NE(history.passages[row], Passage::free) << time;
            EXPECT_LT(before - behind, strength + 1.0) << time;
            EXPECT_GT(history.water.at(row, 0), 1e-3) << time;
        } else {
            EXPECT_EQ(history.passages[row], Passage::free) << time;
            EXPECT_NEAR(before, behind, 1e-3) << time;
            EXPECT_EQ(history.water.at(row, 0), 0.0) << time;
        }
        const bool bubbling = history.passages[row] == Passage::bubbling;
        EXPECT_NEAR(before - behind, bubbling ? strength : before - behind, 2.0) << time;
    }
    EXPECT_EQ(history.passages[history.times.size() / 2 - 1], Passage::bubbling);
    const std::size_t last = history.times.size() - 1;
    EXPECT_NEAR(history.pressure_at(last, 1, 0), out.risers[0].low_points[0].pressure_behind, 1e-3);
    EXPECT_NEAR(history.water.at(last, 0), out.risers[0].low_points[0].water_at_end, 1e-12);
}

TEST(HistoryOfVents, TellsHowTheyStand) {
    plant::Riser riser = full_riser({vessel("main", 2.0)});
    riser.vents = {vent("main", 0.3e-3), vent("main", 0.3e-3)};
    riser.vents[1].name = "second vent";
    riser.vents[1].policy = plant::OpenUntil{0.5 * day};
    const outcome::History history = run(plant_of(riser, cylinders(0.99), day)).history;
    ASSERT_EQ(history.vents.size(), 2 * history.times.size());
    for (std::size_t row = 1; row < history.times.size(); ++row) {
        EXPECT_EQ(history.vents[2 * row], VentState::open) << row;
        const bool early = history.times[row] <= 0.5 * day;
        EXPECT_EQ(history.vents[2 * row + 1], early ? VentState::open : VentState::shut) << row;
    }
    EXPECT_EQ(history.zone_pressure.columns, 0u) << "one pressure stands in all of the riser";
    EXPECT_DOUBLE_EQ(history.pressure_at(9, 0, 0), history.pressure.at(9, 0));
}

TEST(HistoryWithFriction, HasThePressureOfEveryCell) {
    plant::Riser riser = full_riser({tube("main", 0.05, 60.0), tube("far", 0.02, 300.0, 3)});
    riser.vents = {vent("far", 4e-3)};
    engine::Options options;
    options.resolve_friction = true;
    const outcome::History history = engine::predict(plant_of(riser, cylinders(0.99), hour), options).history;
    ASSERT_EQ(history.zone_pressure.columns, history.oxygen.columns);
    const std::size_t last = history.times.size() - 1;
    EXPECT_DOUBLE_EQ(history.pressure_at(last, 0, 0), history.pressure.at(last, 0));
    for (std::size_t c = 1; c < history.oxygen.columns; ++c) {
        EXPECT_LT(history.pressure_at(last, c, 0), history.pressure_at(last, c - 1, 0)) << "downstream";
    }
}

TEST(Lasting, KeepsWhatIsDoneBeforeTheEnd) {
    plant::Plant plant = drained_plant();
    EXPECT_EQ(plant::lasting(plant, 1.5 * day).actions.size(), 1u);
    const plant::Plant shorter = plant::lasting(plant, day);
    EXPECT_TRUE(shorter.actions.empty());
    EXPECT_EQ(shorter.duration, day);
    EXPECT_NO_THROW(run(shorter));
}

}  // namespace
