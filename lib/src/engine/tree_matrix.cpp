#include "engine/tree_matrix.hpp"

#include "engine/at.hpp"
#include "engine/dense_inverse.hpp"

namespace oxfade::engine {

TreeMatrix::TreeMatrix(const Network& net) : net_(net) {
    for (auto* v : {&pivot, &up, &down, &inverse_, &up_over_, &down_over_}) v->assign(at(net.nodes()), 0.0);
    for (const RiserNet& riser : net.risers) loops.emplace_back(riser.loops.size());
    factors_.resize(net.risers.size());
}

void TreeMatrix::factorise(int r, Entry entry) {
    const RiserNet& riser = net_.risers[at(r)];
    factors_[at(r)].entry = entry;
    if (!far.empty()) {
        factorise_far(riser, entry);
        if (!riser.loops.empty()) factorise_loops(r);
        return;
    }
    for (int i = riser.first + 1; i < riser.first + riser.count; ++i) {
        pivot[at(i)] += up[at(i)];
        const int p = net_.parent[at(i)];
        if (p != riser.first || entry == Entry::free) pivot[at(p)] += down[at(i)];
    }
    for (int i = riser.first + riser.count - 1; i > riser.first; --i) {
        // Leaves first: node i leaves its parent's row with pivot less up x down / pivot.
        const int p = net_.parent[at(i)];
        inverse_[at(i)] = 1.0 / pivot[at(i)];
        up_over_[at(i)] = up[at(i)] * inverse_[at(i)];
        down_over_[at(i)] = down[at(i)] * inverse_[at(i)];
        if (p != riser.first || entry == Entry::free) pivot[at(p)] -= up_over_[at(i)] * down[at(i)];
    }
    inverse_[at(riser.first)] = 1.0 / pivot[at(riser.first)];
    if (!riser.loops.empty()) factorise_loops(r);
}

/// Each node's row gives it by its parent and that one's parent; so does what flows along its link.
void TreeMatrix::factorise_far(const RiserNet& riser, Entry entry) {
    for (auto* v : {&own_, &by_parent_, &by_far_}) v->resize(pivot.size());
    for (int i = riser.first; i < riser.first + riser.count; ++i) down_over_[at(i)] = 0.0;
    // down_over_ gathers what the links to its children take of u[parent of i].
    for (int i = riser.first + riser.count - 1; i > riser.first; --i) {
        const int p = net_.parent[at(i)];
        double diagonal = pivot[at(i)] + up[at(i)], to_parent = down[at(i)] - down_over_[at(i)];
        double to_far = 0.0;
        own_[at(i)] = up[at(i)];
        double link_parent = down[at(i)], link_far = 0.0;
        if (far_node[at(i)] >= 0 && reaches_child(i)) {
            const int child = far_node[at(i)];
            diagonal -= far[at(i)] * by_parent_[at(child)];
            to_parent += far[at(i)] * by_far_[at(child)];
            own_[at(i)] -= far[at(i)] * by_parent_[at(child)];
            link_parent += far[at(i)] * by_far_[at(child)];
        } else if (far_node[at(i)] >= 0) {
            to_far = link_far = far[at(i)];
        }
        inverse_[at(i)] = 1.0 / diagonal;
        by_parent_[at(i)] = to_parent * inverse_[at(i)];
        by_far_[at(i)] = to_far * inverse_[at(i)];
        if (p == riser.first && entry == Entry::held) continue;
        pivot[at(p)] += link_parent - own_[at(i)] * by_parent_[at(i)];
        down_over_[at(p)] += link_far - own_[at(i)] * by_far_[at(i)];
    }
    inverse_[at(riser.first)] = 1.0 / pivot[at(riser.first)];
}

void TreeMatrix::solve_far(const RiserNet& riser, Entry entry, std::vector<double>& b) const {
    for (int i = riser.first + riser.count - 1; i > riser.first; --i) {
        const int p = net_.parent[at(i)];
        double& own = b[at(i)];
        double reached = 0.0;
        if (far_node[at(i)] >= 0 && reaches_child(i)) reached = far[at(i)] * b[at(far_node[at(i)])];
        own = (own + reached) * inverse_[at(i)];
        if (p != riser.first || entry == Entry::free) b[at(p)] += own_[at(i)] * own - reached;
    }
    b[at(riser.first)] *= inverse_[at(riser.first)];
    for (int i = riser.first + 1; i < riser.first + riser.count; ++i) {
        const int p = net_.parent[at(i)];
        b[at(i)] += by_parent_[at(i)] * b[at(p)];
        if (by_far_[at(i)] != 0.0) b[at(i)] += by_far_[at(i)] * b[at(net_.parent[at(p)])];
    }
}

void TreeMatrix::factorise_loops(int r) {
    const RiserNet& riser = net_.risers[at(r)];
    RiserFactor& factor = factors_[at(r)];
    const std::size_t count = riser.loops.size();
    factor.response.assign(count, {});
    std::vector<double> capacitance(count * count, 0.0);
    for (std::size_t k = 0; k < count; ++k) {
        std::vector<double>& b = factor.response[k];
        b.assign(at(net_.nodes()), 0.0);
        b[at(riser.loops[k].first)] += 1.0;
        b[at(riser.loops[k].second)] -= 1.0;
        if (factor.entry == Entry::held) b[at(riser.first)] = 0.0;
        solve_tree(riser, factor.entry, b);
        for (std::size_t j = 0; j < count; ++j) {
            capacitance[j * count + k] = (j == k ? 1.0 : 0.0) +
                                         loops[at(r)][j].first * b[at(riser.loops[j].first)] +
                                         loops[at(r)][j].second * b[at(riser.loops[j].second)];
        }
    }
    factor.inverse = dense_inverse(capacitance, count);
}

void TreeMatrix::solve_tree(const RiserNet& riser, Entry entry, std::vector<double>& b) const {
    if (!far.empty()) return solve_far(riser, entry, b);
    // Along a run of pipe what passes from one node to the next stays at hand.
    const int* parent = net_.parent.data();
    double* const rows = b.data();
    double run = 0.0;
    for (int i = riser.first + riser.count - 1; i > riser.first; --i) {
        const double all = rows[i] + run, passed = up_over_[at(i)] * all;
        rows[i] = all;
        const bool next = parent[i] == i - 1;
        run = next ? passed : 0.0;
        if (!next && (parent[i] != riser.first || entry == Entry::free)) rows[parent[i]] += passed;
    }
    if (entry == Entry::free) rows[riser.first] += run;
    double before = rows[riser.first] *= inverse_[at(riser.first)];
    for (int i = riser.first + 1; i < riser.first + riser.count; ++i) {
        const double upstream = parent[i] == i - 1 ? before : rows[parent[i]];
        rows[i] = before = rows[i] * inverse_[at(i)] + down_over_[at(i)] * upstream;
    }
}

void TreeMatrix::solve(int r, std::vector<double>& b) {
    const RiserNet& riser = net_.risers[at(r)];
    const RiserFactor& factor = factors_[at(r)];
    solve_tree(riser, factor.entry, b);
    if (riser.loops.empty()) return;
    const std::size_t count = riser.loops.size();
    std::vector<double> seen(count);
    for (std::size_t k = 0; k < count; ++k) {
        const LoopLink& loop = riser.loops[k];
        const LoopWeight& weight = loops[at(r)][k];
        seen[k] = weight.first * b[at(loop.first)] + weight.second * b[at(loop.second)];
    }
    for (std::size_t k = 0; k < count; ++k) {
        double strength = 0.0;
        for (std::size_t j = 0; j < count; ++j) strength += factor.inverse[k * count + j] * seen[j];
        for (int i = riser.first; i < riser.first + riser.count; ++i)
            b[at(i)] -= strength * factor.response[k][at(i)];
    }
}

}  // namespace oxfade::engine
