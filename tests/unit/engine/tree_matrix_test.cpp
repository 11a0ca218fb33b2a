#include "engine/tree_matrix.hpp"

#include <gtest/gtest.h>

#include <vector>

using namespace oxfade;

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

}  // namespace

TEST(TreeMatrix, LinksThatReachOneNodeFurtherAreSolvedLikeTheFullMatrix) {
    // 0 - 1 - 2 - 3, with 4 and 5 on 1: flow inward along the first, outward along the second branch.
    engine::Network net;
    net.parent = {-1, 0, 1, 2, 1, 4};
    net.risers.resize(1);
    net.risers[0].count = 6;
    engine::TreeMatrix matrix(net);
    matrix.far = {0.0, 0.0, -0.3, -0.2, 0.25, 0.0};
    matrix.far_node = {-1, -1, 0, 1, 5, -1};
    matrix.up = {0.0, 0.5, 0.4, 0.7, 1.1, 1.3};
    matrix.down = {0.0, 1.2, 1.5, 0.9, 0.2, 0.3};
    const std::vector<double> diagonal{2.0, 1.5, 1.8, 2.2, 1.1, 1.4};
    matrix.pivot = diagonal;
    const std::vector<double> u{0.3, -1.0, 0.7, 2.0, -0.4, 1.6};
    std::vector<double> b(6, 0.0);
    for (int i = 0; i < 6; ++i) {
        b[at(i)] += diagonal[at(i)] * u[at(i)];
        if (i == 0) continue;
        const int p = net.parent[at(i)], far = matrix.far_node[at(i)];
        const double flow = matrix.down[at(i)] * u[at(p)] - matrix.up[at(i)] * u[at(i)] +
                            (far >= 0 ? matrix.far[at(i)] * u[at(far)] : 0.0);
        b[at(i)] -= flow;
        b[at(p)] += flow;
    }
    matrix.factorise(0);
    matrix.solve(0, b);
    for (int i = 0; i < 6; ++i) EXPECT_NEAR(b[at(i)], u[at(i)], 1e-13) << "node " << i;
}
