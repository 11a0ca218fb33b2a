#include "engine/network.hpp"

#include <cmath>

#include "support/hole.hpp"
#include "support/mesh.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;
using engine::build_network;

plant::Plant branched() {
    plant::Riser riser = full_riser({vessel("main", 0.4), on(tube("late", 0.05, 4.0, 2), "mid"),
                                     on(tube("mid", 0.1, 6.0, 3), "main"), vessel("tail", 0.1)});
    return plant_of(std::move(riser), generator(0.98), 100.0);
}

TEST(Network, ParentsComeBeforeTheirChildren) {
    const auto net = build_network(branched());
    ASSERT_EQ(net.nodes(), 7);
    EXPECT_EQ(net.parent[0], -1);
    for (int i = 1; i < net.nodes(); ++i) EXPECT_LT(net.parent[static_cast<std::size_t>(i)], i);
    const auto& node = net.node_of[0];
    const auto parent = [&](int i) { return net.parent[static_cast<std::size_t>(i)]; };
    EXPECT_EQ(node[0][0], 0);
    EXPECT_EQ(parent(node[2][0]), node[0][0]);  // mid on main
    EXPECT_EQ(parent(node[1][0]), node[2][2]);  // late on the far end of mid
    EXPECT_EQ(parent(node[3][0]), node[2][2]);  // tail on the pipe before it in the list
    EXPECT_EQ(parent(node[1][1]), node[1][0]);
}

TEST(Network, LabelsNameCellsOfSplitPipes) {
    const auto net = build_network(branched());
    EXPECT_EQ(net.label[0], "main");
    EXPECT_EQ(net.label[static_cast<std::size_t>(net.node_of[0][2][1])], "mid cell 2");
}

TEST(Network, SharesAddUpToOneInEveryRiser) {
    const auto plant = meshed_plant(0.98, generator(0.98));
    const auto net = build_network(plant);
    for (std::size_t r = 0; r < 2; ++r) {
        const auto& riser = net.risers[r];
        double sum = 0.0;
        for (int i = riser.first; i < riser.first + riser.count; ++i) {
            sum += net.share[static_cast<std::size_t>(i)];
            EXPECT_EQ(net.riser_of[static_cast<std::size_t>(i)], static_cast<int>(r));
        }
        EXPECT_NEAR(sum, 1.0, 1e-14);
    }
    EXPECT_NEAR(net.share[static_cast<std::size_t>(net.node_of[1][1][0])], 0.1 / 0.3, 1e-14);
}

TEST(Network, PressuresBecomeMoles) {
    plant::Plant plant = branched();
    plant.risers[0].supply = plant::PressureSwitch{{1e-3, 0.5}, 3e5, 5e5};
    plant.risers[0].vents.push_back(vent("tail", 2e-3, plant::OpenBetween{4.5e5, 2.5e5}));
    const auto net = build_network(plant);
    const double volume = plant.risers[0].volume();
    EXPECT_NEAR(net.risers[0].set, moles_of(set_pressure, volume), 1e-9);
    EXPECT_NEAR(net.risers[0].low, moles_of(3e5, volume), 1e-9);
    EXPECT_NEAR(net.risers[0].high, moles_of(5e5, volume), 1e-9);
    EXPECT_NEAR(net.risers[0].supply_area, effective_area(1e-3, 0.5), 1e-18);
    EXPECT_NEAR(net.source.start, moles_of(7e5, 0.3), 1e-9);
    EXPECT_NEAR(net.source.stop, moles_of(9e5, 0.3), 1e-9);
    EXPECT_NEAR(net.source.air_below, moles_of(6e5, 0.3), 1e-9);
    const auto& between = std::get<plant::OpenBetween>(net.vents[0].policy);
    EXPECT_NEAR(between.high, moles_of(4.5e5, volume), 1e-9);
    EXPECT_NEAR(between.low, moles_of(2.5e5, volume), 1e-9);
}

TEST(Network, StandardFlowsCountAtTheReferenceConditions) {
    plant::Plant plant = branched();
    plant.site.reference = {1e5, 273.15};
    const auto net = build_network(plant);
    EXPECT_NEAR(net.source.nitrogen_flow, 1e5 * 2e-3 / (gas::gas_constant * 273.15), 1e-12);
    EXPECT_NEAR(net.source.air_flow, 1e5 * 10e-3 / (gas::gas_constant * 273.15), 1e-12);
}

TEST(Network, LeaksStandWherePlacedOrSpreadByVolume) {
    plant::Plant plant = branched();
    plant.risers[0].leaks = {hole("mid", 1e-3), {std::nullopt, plant::Orifice{2e-3, 0.8}}};
    const auto net = build_network(plant);
    for (int i = 0; i < net.nodes(); ++i) {
        const auto node = static_cast<std::size_t>(i);
        const double placed = i == net.node_of[0][2][2] ? effective_area(1e-3) : 0.0;
        EXPECT_NEAR(net.leak_area[node], placed + net.share[node] * effective_area(2e-3), 1e-15);
    }
}

TEST(Network, VentsStandAtTheLastCellOfTheirPipe) {
    plant::Plant plant = branched();
    plant.risers[0].vents.push_back(vent("late", 1e-3));
    const auto net = build_network(plant);
    EXPECT_EQ(net.vents[0].node, net.node_of[0][1][1]);
    EXPECT_EQ(net.risers[0].vent_count, 1);
}

TEST(Network, MixesOnlyWhereItMay) {
    plant::Plant plant = branched();
    plant.mixing = {false, false, false};
    EXPECT_FALSE(build_network(plant).any_mixing);
    plant.mixing = {true, true, false};
    plant.risers[0].pipes[1].pitch = 1.0;
    plant.risers[0].pipes[3].exchange = 0.25;
    const auto net = build_network(plant);
    EXPECT_TRUE(net.any_mixing);
    const auto mixing = [&](std::size_t p, std::size_t c) {
        return net.mixing[static_cast<std::size_t>(net.node_of[0][p][c])];
    };
    EXPECT_FALSE(mixing(2, 0).active());  // main has no geometry
    EXPECT_EQ(mixing(2, 1).count, 1);
    EXPECT_EQ(mixing(1, 0).pieces[0].sine, 1.0);
    EXPECT_EQ(mixing(3, 0).fixed, 0.25);  // given in the plant, geometry or not
}

TEST(Network, LoopsKnowTheirWayRound) {
    const auto plant = meshed_plant(0.98, generator(0.98));
    const auto net = build_network(plant);
    const auto& riser = net.risers[0];
    ASSERT_EQ(riser.loops.size(), 2u);
    const auto& loop = riser.loops[0];
    EXPECT_EQ(loop.first, net.node_of[0][1].back());
    EXPECT_EQ(loop.second, net.node_of[0][2].back());
    ASSERT_EQ(loop.members.size(), 4u);  // two cells on either way; the feed is shared
    double signs = 0.0;
    for (const auto& m : loop.members) {
        signs += m.sign;
        EXPECT_GT(net.resistance[static_cast<std::size_t>(m.node)], 0.0);
    }
    EXPECT_EQ(signs, 0.0);
    const double expected = 0.5 * 6.0 / std::pow(0.05, 4) + 0.5 * 4.5 / std::pow(0.03, 4);
    EXPECT_NEAR(loop.resistance / expected, 1.0, 1e-12);
    EXPECT_TRUE(net.risers[1].loops.empty());
}

TEST(Network, TargetIsAnAirFraction) {
    plant::Plant plant = branched();
    plant.target = 0.95;
    const auto net = build_network(plant);
    EXPECT_NEAR(net.gases.oxygen(net.target_air), 0.05, 1e-15);
    plant.target = 0.99;  // above the purity: below zero, so that nothing is ever at target
    EXPECT_LT(build_network(plant).target_air, 0.0);
}

TEST(Network, AirFromACompressorDecidesTheTargetAtOnce) {
    plant::Plant plant = branched();
    plant.source = plant::Compressor{0.01, std::nullopt, generator().receiver};
    plant.target = 0.5;
    EXPECT_GT(build_network(plant).target_air, 1.0);
    plant.target = 0.9;
    EXPECT_LT(build_network(plant).target_air, 0.0);
}

}  // namespace
