// Loops: a symmetric one is as its tree, an unsymmetric one divides the flow by resistance (model.md eq. 6).
#include <cmath>

#include "support/flows.hpp"
#include "support/hole.hpp"
#include "support/plants.hpp"
#include "support/run.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

/// Two branches on a feed, each with a vent of its own at the far end.
plant::Plant forked(double bore_a, double length_a, double bore_b, double length_b, int cells) {
    plant::Riser riser = full_riser({tube("feed", 0.1, 10.0), on(tube("a", bore_a, length_a, cells), "feed"),
                                     on(tube("b", bore_b, length_b, cells), "feed")});
    riser.vents = {vent("a", 1e-3), vent("b", 1e-3)};
    return plant_of(std::move(riser), cylinders(0.98), 30000.0);
}

TEST(Loops, EqualBranchesJoinedAtTheirEndsAreAsTheTree) {
    plant::Plant tree = forked(0.05, 40.0, 0.05, 40.0, 5);
    tree.mixing = {true, true};
    plant::Plant loop = tree;
    loop.risers[0].links.push_back({"a", "b"});
    const auto a = run(tree, tight()), b = run(loop, tight());
    for (std::size_t p = 0; p < 3; ++p) {
        for (std::size_t c = 0; c < a.risers[0].pipes[p].oxygen.size(); ++c) {
            EXPECT_NEAR(a.risers[0].pipes[p].oxygen[c], b.risers[0].pipes[p].oxygen[c], 1e-9);
        }
    }
    ASSERT_TRUE(a.risers[0].time_to_target && b.risers[0].time_to_target);
    EXPECT_NEAR(*a.risers[0].time_to_target, *b.risers[0].time_to_target, 1e-3);
}

TEST(Loops, FlowDividesByResistance) {
    plant::Plant plant = forked(0.05, 40.0, 0.03, 25.0, 1);
    plant.risers[0].vents.pop_back();  // a way out at the end of `a` only
    plant.risers[0].links.push_back({"a", "b"});
    Opened open(plant);
    open.set(engine::SupplyMode::hold);
    open.evaluate();
    const auto half = [](double bore, double length) { return 0.5 * length / std::pow(bore, 4); };
    const double feed = half(0.1, 10.0), a = half(0.05, 40.0), b = half(0.03, 25.0);
    const double direct = feed + a, round = feed + b + b + a;
    const double flow = choked_flow(effective_area(1e-3), set_pressure, air_mass());
    EXPECT_NEAR(open.link(0, 1) / flow, round / (direct + round), 1e-12);
    EXPECT_NEAR(open.link(0, 2) / flow, direct / (direct + round), 1e-12);
    EXPECT_NEAR(open.flows.loop[0][0] / flow, -direct / (direct + round), 1e-12);  // from b to a
}

TEST(Loops, WithVentsAtBothEndsTheLinkCarriesTheDifference) {
    plant::Plant plant = forked(0.05, 40.0, 0.03, 25.0, 1);
    plant.risers[0].vents[1].orifice.diameter = 0.5e-3;
    plant.risers[0].links.push_back({"a", "b"});
    Opened open(plant);
    open.set(engine::SupplyMode::hold);
    open.evaluate();
    const auto half = [](double bore, double length) { return 0.5 * length / std::pow(bore, 4); };
    const double feed = half(0.1, 10.0), a = half(0.05, 40.0), b = half(0.03, 25.0);
    const double out_a = choked_flow(effective_area(1e-3), set_pressure, air_mass()), out_b = out_a / 4.0;
    // (feed + a)(out_a + q) + (a + b) q = (feed + b)(out_b - q), q from a to b
    const double q = ((feed + b) * out_b - (feed + a) * out_a) / (2.0 * (feed + a + b));
    EXPECT_NEAR(open.flows.loop[0][0] / out_a, q / out_a, 1e-12);
    EXPECT_NEAR(open.link(0, 1) / out_a, (out_a + q) / out_a, 1e-12);
    EXPECT_NEAR(open.link(0, 2) / out_a, (out_b - q) / out_a, 1e-12);
}

/// Three branches; two loops that share one of them.
plant::Plant two_meshes() {
    plant::Plant plant = forked(0.05, 40.0, 0.03, 25.0, 2);
    plant::Riser& riser = plant.risers[0];
    riser.pipes.push_back(on(tube("c", 0.04, 30.0, 3), "feed"));
    riser.vents[1].at = "c";
    riser.links = {{"a", "b"}, {"b", "c"}};
    riser.leaks.push_back(hole("b", 0.4e-3));
    return plant;
}

TEST(Loops, BalancesAndPressureDropsCloseInMeshes) {
    Opened open(two_meshes());
    open.set(engine::SupplyMode::wide);
    open.x[engine::Layout::source] *= 1.0;
    open.evaluate();
    const auto& net = open.net;
    const auto& riser = net.risers[0];
    for (const auto& loop : riser.loops) {
        double drop = loop.resistance * open.flows.loop[0][static_cast<std::size_t>(&loop - &riser.loops[0])];
        double scale = std::abs(drop);
        for (const auto& m : loop.members) {
            const auto node = static_cast<std::size_t>(m.node);
            drop += m.sign * net.resistance[node] * open.flows.link[node];
            scale += std::abs(net.resistance[node] * open.flows.link[node]);
        }
        EXPECT_LT(std::abs(drop), 1e-12 * scale);
    }
    for (int i = 1; i < net.nodes(); ++i) {
        const auto node = static_cast<std::size_t>(i);
        double in = open.flows.link[node] - open.flows.out[node];
        for (int j = 1; j < net.nodes(); ++j) {
            if (net.parent[static_cast<std::size_t>(j)] == i)
                in -= open.flows.link[static_cast<std::size_t>(j)];
        }
        for (std::size_t k = 0; k < riser.loops.size(); ++k) {
            if (riser.loops[k].first == i) in -= open.flows.loop[0][k];
            if (riser.loops[k].second == i) in += open.flows.loop[0][k];
        }
        EXPECT_NEAR(in, net.share[node] * open.flows.risers[0].gain, 1e-12) << "node " << i;
    }
}

TEST(Loops, NamingALinkTheOtherWayRoundChangesNothing) {
    plant::Plant plant = two_meshes();
    plant.mixing = {true, true};
    const auto one = run(plant, tight());
    for (auto& link : plant.risers[0].links) std::swap(link.first, link.second);
    std::swap(plant.risers[0].links[0], plant.risers[0].links[1]);
    const auto other = run(plant, tight());
    for (std::size_t p = 0; p < 4; ++p) {
        for (std::size_t c = 0; c < one.risers[0].pipes[p].oxygen.size(); ++c) {
            EXPECT_NEAR(one.risers[0].pipes[p].oxygen[c], other.risers[0].pipes[p].oxygen[c], 1e-9);
        }
    }
}

}  // namespace
