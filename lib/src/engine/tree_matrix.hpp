#pragma once

#include <vector>

#include "engine/network.hpp"

namespace oxfade::engine {

/// A linear system over the nodes of a riser whose couplings are flows along its links: with the flow from
/// the parent into node i changing by `down[i] u[parent] - up[i] u[i] + far[i] u[far_node[i]]`, and that of
/// loop k from its first to its second node by `first u[first] + second u[second]`, every row reads `diagonal
/// u + outflow - inflow = b`. The far node is the parent's parent, or a child of i. Solved leaves first in a
/// time linear in the number of nodes: u[i] = before[i] + by_parent[i] u[parent] + by_far[i] u[parent's
/// parent]; loops are a small correction (Woodbury).
class TreeMatrix {
  public:
    explicit TreeMatrix(const Network& net);

    // To be set for every node of a riser before factorise(): `pivot` to the diagonal.
    std::vector<double> pivot, up, down;
    std::vector<double> far;    ///< may be left empty: then nothing reaches beyond the next node
    std::vector<int> far_node;  ///< none: negative
    struct LoopWeight {
        double first = 0.0, second = 0.0;
    };
    std::vector<std::vector<LoopWeight>> loops;  ///< of each riser's loop links

    /// The row of the node where gas enters may be cut off from the flows: its vessel is held as it is.
    enum class Entry { free, held };
    void factorise(int r, Entry entry = Entry::free);
    /// In place; entries of other risers are left alone.
    void solve(int r, std::vector<double>& b);

  private:
    void factorise_loops(int r);
    void factorise_far(const RiserNet& riser, Entry entry);
    void solve_tree(const RiserNet& riser, Entry entry, std::vector<double>& b) const;
    void solve_far(const RiserNet& riser, Entry entry, std::vector<double>& b) const;
    bool reaches_child(int node) const { return far_node[static_cast<std::size_t>(node)] > node; }

    const Network& net_;
    std::vector<double> inverse_, up_over_, down_over_;  ///< of the pivots; up and down over them
    std::vector<double> own_, by_parent_, by_far_;  ///< with far entries: weight of u[i] in its link's flow
    struct RiserFactor {
        Entry entry = Entry::free;
        std::vector<std::vector<double>> response;  ///< tree solution of each loop's column
        std::vector<double> inverse;                ///< of the capacitance, row by row
    };
    std::vector<RiserFactor> factors_;
};

}  // namespace oxfade::engine
