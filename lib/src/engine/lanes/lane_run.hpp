#pragma once

/// What runs of an ensemble hand to the lanes and get back: plain data only, for kernels of every instruction
/// set.
namespace oxfade::engine {

/// Where a run stands.
enum class LaneStatus {
    stepping,  ///< through the fill, and whenever the regulator does not hold
    cycling,   ///< the regulator holds and the receiver holds air
    pure,  ///< the regulator holds and the receiver has held next to nothing but product since it was full
    done,
    handed_over  ///< something came up that the lanes do not know: to be run alone, from the start
};

enum class LaneMachine { off, nitrogen, air };

/// One run, or with a vector for `E` as many as it holds: nothing but members of type E, so that a run goes
/// into its place in the vectors and back member by member. Times in s, amounts in mol.
template <class E>
struct LaneFields {
    // What is given.
    E mass_product, mass_excess, oxygen_product, oxygen_excess;
    E site_pressure, flow_factor;  ///< 1/sqrt(R T)
    E duration, target_air;
    E composition_floor;  ///< air fractions are measured against at least this
    E source_pressure_per_mole, start, stop, air_below, nitrogen_flow, air_flow;
    E riser_pressure_per_mole, set, fill_area, supply_area;
    // How it stands.
    E time, source, source_air, riser;
    E vented, vented_air, leaked, leaked_air;
    E machine, filling, holding;  ///< a LaneMachine; 0 or 1
    E wanted;                     ///< step size the error control asks for
    E step_on;                    ///< 1: not to go cruising before the next event
    E cycle_on;                   ///< 1: to follow one more cycle of the source before counting them
    E fill_end, starts, steps;
    E on_nitrogen, on_air, on_air_after_fill;        ///< clocks of the source
    E stopped_after_fill, air_counts, last_machine;  ///< for the last of these
    E crossings;                                     ///< of the target, of all nodes
    E capacity_start, capacity_air_below;            ///< least that the supply passes at those contents
    // At the end of the last cycle of the source.
    E cycle_known, cycle_time, cycle_period, cycle_source_air, cycle_starts, cycle_crossings;
    E cycle_vented, cycle_vented_air, cycle_leaked, cycle_leaked_air;
    E cycle_on_nitrogen, cycle_on_air, cycle_on_air_after_fill;
    // Since the receiver was last full, on pure product.
    E phase, drawn;
};

/// The same for each node.
template <class E>
struct LaneNode {
    E share, leak_area, vent_area;
    E air;
    E at_target, since;
    E cycle_fraction;
};

struct LaneRun {
    LaneStatus status = LaneStatus::stepping;
    LaneFields<double> fields{};
    LaneNode<double>* nodes = nullptr;
};

/// Runs of one topology, and how to compute them.
struct LaneBatch {
    LaneRun* runs = nullptr;
    int count = 0;
    int nodes = 0;
    const int* parent = nullptr;  ///< -1 for the first
    double relative_tolerance = 0.0, event_tolerance = 0.0, most_steps = 0.0;
    double series_rest = 0.0;
    // Rosenbrock's coefficients, as in RosenbrockTable.
    double gamma = 0.0, a[4][4]{}, c[4][4]{}, m[4]{}, e[4]{};
    // The nozzle function: critical ratio and value there; value and slope where it is rounded off.
    double critical_ratio = 0.0, choked = 0.0, edge = 0.0, edge_value = 0.0, edge_slope = 0.0;
    double* memory = nullptr;  ///< aligned to 64 bytes, lane_memory(nodes) of them
    /// Where a cubic from values and slopes first rises through zero, and where it changes sign:
    /// dense_step.hpp.
    double (*first_rise)(double, double, double, double) = nullptr;
    int (*sign_changes)(double, double, double, double, double*) = nullptr;
    bool (*go_on)(const void*) = nullptr;  ///< false: leave everything
    const void* context = nullptr;
};

}  // namespace oxfade::engine
