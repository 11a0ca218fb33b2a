#pragma once

#include <memory>
#include <vector>

#include "engine/cruise_stepper.hpp"
#include "engine/dynamics.hpp"
#include "engine/lanes/kernels.hpp"

/// The long quiet part of a run: every riser stands at its set pressure behind a regulator that holds.
///
/// Then no pressure in the piping changes, air only rides outward on nearly constant flows, and the
/// receiver's cycle touches the piping through the composition of what it gives alone. The state is carried
/// by Taylor series whose terms follow from one another by recurrence; the flows, which depend on composition
/// through the molar mass only, are short series themselves.
namespace oxfade::engine {

/// Steps of a plant while all risers hold: Taylor series, or implicit ones where those do better, and where
/// compartments mix or piping has loops.
class CruiseSeries {
  public:
    CruiseSeries(const Dynamics& dynamics, double relative_tolerance);

    /// True when the structure of the plant allows it at all.
    static bool possible(const Network& net);
    /// True when all risers are in service and hold, and no temperature changes for now.
    bool ready() const;

    /// Takes over a state (and the open vents of the dynamics' modes).
    void load(const State& x);
    void store(State& x) const;
    /// The same at a time within an implicit step, with so much in the receiver.
    void store_at(double t, double source_moles, State& x) const;

    /// What flows at the state held: call after load() and after every finish(), before expand().
    /// @param made, made_air what the source makes in all, and of it air [mol/s]
    void start(double made, double made_air);
    double supply() const { return view_.supply[0]; }      ///< of all risers [mol/s]
    double riser_supply(int r) const;                      ///< [mol/s]
    double largest_rate() const { return largest_rate_; }  ///< of any compartment [1/s]
    double source_moles() const { return view_.source; }
    double source_air() const { return view_.source_air; }

    /// Whether the next steps are series, or implicit steps: for compartments that need many series. What
    /// flows is found anew when one takes over from the other.
    void by_steps(bool yes);
    bool by_steps() const { return by_steps_; }
    /// As CruiseStepper.
    void turn(std::size_t kind) {
        if (stepper_) stepper_->turn(kind);
    }
    /// True when compartments mix or piping has loops, for which there are no series.
    bool coupled() const { return coupled_; }
    /// Whether the receiver's content counts as constant for the air in it: where a little air is left, and
    /// all cycles do the same to it.
    void steady_source(bool yes, double moles);
    /// Builds the series about the state held, with as many terms as a step of a size [s] needs; an implicit
    /// step comes as cubics, and may have to be shorter. Returns the size that they are good for [s].
    double expand(double size);
    /// What all risers draw together, at a time [mol/s], and from the start on [mol].
    double supply_at(double t) const;
    double drawn(double t) const;
    double supply_slope_at(double t) const;  ///< [mol/s2]

    double air_fraction(int node) const { return view_.z[node]; }
    double air_fraction_at(int node, double t) const;
    /// Its slope at the start of the step [1/s].
    double air_fraction_slope(int node) const { return view_.z[view_.stride + node]; }
    double air_fraction_slope_at(int node, double t) const;

    /// Moves the state to a time within the step.
    void finish(double t);
    /// The same, the receiver's content given instead (whole source cycles have passed on pure product).
    void finish(double t, double source_moles);

    /// Hands air in the receiver to the risers at once [mol].
    void hand_on(double air);
    /// Lets the traces of air left in the compartments out at once.
    void flush_nodes();
    /// Highest air fraction of any compartment that gas passes through.
    double highest_fraction() const;  ///< in magnitude
    /// Nodes that may cross the target within the step; all, for a series.
    const std::vector<int>& near_target() const { return by_steps_ ? stepper_->near_target() : all_nodes_; }
    /// Entries that a cycle of the source changes: for comparing one with the next.
    const std::vector<double>& totals() const { return totals_; }
    /// Of each node, the integral of the air in it since load() [mol s].
    const double* exposure() const { return totals_.data() + 4 * net_.risers.size(); }
    /// Adds to the air fractions of the nodes and then of the receiver, and to the totals.
    void add(const std::vector<double>& fractions, const std::vector<double>& totals);
    double node_moles(int node) const { return moles_[static_cast<std::size_t>(node)]; }
    double rate(int node) const { return view_.link[node] * view_.inverse_moles[node]; }  ///< [1/s]
    /// The least rate at which a change in compositions dies out [1/s], as far as nodes are changed.
    double slowest_decay(const std::vector<double>& change) const;

  private:
    void allocate();
    void store_totals(const std::vector<double>& totals, State& x) const;
    bool passes(int node) const;  ///< gas, or mixes with its neighbour
    void expand_series(double size);
    void add_outflows();
    int exposure_terms(double t) const;
    void add_exposure(double t);
    double spread() const;
    int terms_for(double size, double spread) const;
    int flow_terms_for(double size, double spread) const;

    const Dynamics& dynamics_;
    const Network& net_;
    Layout layout_;
    const Kernels& kernels_;
    double tolerance_, rest_;  ///< relative tolerance; rest of a series that may be left out
    std::unique_ptr<CruiseStepper> stepper_;
    bool coupled_, by_steps_ = false;
    bool laid_out_ = false;  ///< the stepper knows what is open
    bool moved_ = true;      ///< compositions differ from those the stepper holds
    CruiseSurvey survey_;    ///< by_steps_: of the state held
    std::vector<int> roots_, all_nodes_;
    SeriesView<double> view_;
    std::vector<double> memory_;  ///< what the view points to
    double drawn_[series_flow_order + 1]{};
    double largest_rate_ = 0.0;
    std::vector<double> moles_;  ///< of each node
    std::vector<double> riser_moles_;
    std::vector<double> vent_part_;  ///< of each node's outflow, through vents
    std::vector<double> totals_;     ///< four a riser: as Layout::Total; then as exposure()
};

}  // namespace oxfade::engine
