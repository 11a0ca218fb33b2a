#pragma once

/// Where the implicit steps of the cruise lie in memory, for kernels of every instruction set: plain data
/// only.
namespace oxfade::engine {

constexpr int sweep_block = 8;   ///< nodes that are worked on together
constexpr int sweep_stages = 4;  ///< of the Rosenbrock method

/// What flows through the trees of a plant at one state, and what leaves them.
struct SweepFlows {
    double* segment = nullptr;  ///< flow through each segment [mol/s]; the entry before the first: all supply
    double* hole = nullptr;     ///< what leaves each hole [mol/s]
    double* totals = nullptr;   ///< rates of the totals, four a riser, in the order of Layout::Total
    double supply = 0.0;        ///< [mol/s]
    double source_fraction = 0.0;           ///< air fraction of what is drawn
    double source = 0.0, source_air = 0.0;  ///< what the receiver gains [mol/s]
};

/// What the receiver holds.
struct SweepSource {
    double moles = 0.0, air = 0.0;
};

/// A segment is a run of nodes that pass the same flow: none but the last has an opening or several ways on.
/// Rows of nodes are in blocks, padded with nodes that nothing flows through; entry -1 of a row stands for
/// where gas enters. A block is quiet while nothing in it changes: it is passed by.
struct SweepView {
    // The method and what its error is measured against.
    double gamma = 0.0, a[sweep_stages][sweep_stages]{}, c[sweep_stages][sweep_stages]{};
    double m[sweep_stages]{}, e[sweep_stages]{};
    double tolerance = 0.0, floor = 1.0;

    double mass_product = 0.0, mass_excess = 0.0;  ///< as in Gases
    double made = 0.0, made_air = 0.0;             ///< by the source [mol/s]
    bool steady = false;                           ///< as in SeriesView
    double steady_inverse = 0.0;
    double target = 0.0;  ///< air fraction whose crossings are of interest

    enum Shape : unsigned char { in_a_row = 1, apart = 2, one_segment = 4, own_segments = 8 };
    int blocks = 0, risers = 0, segments = 0;
    const unsigned char* shape =
        nullptr;  ///< of a block: each node's parent is the one before; all parents lie
                  ///< before it; all in one segment; each in one of its own, in order
    const int* parent = nullptr;
    const int* segment = nullptr;         ///< of each node
    const int* segment_parent = nullptr;  ///< -1 where gas enters
    const int* first_hole = nullptr;      ///< of each riser, and the end; holes are padded to blocks too
    const int* hole_node = nullptr;
    const int* hole_segment = nullptr;
    const double* strength = nullptr;       ///< of each hole: its outflow times sqrt(M)
    const double* vent_part = nullptr;      ///< of each hole: share that goes through vents
    const double* inverse_moles = nullptr;  ///< of each node [1/mol]

    // A step: from x to x1.
    double size = 0.0;
    SweepSource source, source1, source_u[sweep_stages];
    SweepFlows start, now;     ///< at x; at the last state asked for
    double* total1 = nullptr;  ///< gains of the totals
    double* total_u[sweep_stages]{};
    double* x = nullptr;  ///< air fractions
    double* x1 = nullptr;
    double* at[2]{};  ///< arguments of the stages
    double* u[sweep_stages]{};
    double* inverse = nullptr;  ///< diagonal of the factorised triangle, inverse
    double* carried = nullptr;  ///< that times the flow through the node over its content
    double* cubic[4]{};         ///< coefficients over a step, one row a power
    int* active = nullptr;      ///< blocks that are not quiet
    int active_count = 0;
    unsigned char* quiet = nullptr;  ///< of a block: all its rows say so
    int* near_target = nullptr;      ///< blocks in which a node may cross the target within the step
    int near_count = 0;
};

/// What one look over all nodes tells.
struct CruiseSurvey {
    double largest_rate = 0.0;      ///< flow through a node over its content [1/s]
    double highest_fraction = 0.0;  ///< of air, in magnitude, where gas passes or mixes
};

}  // namespace oxfade::engine
