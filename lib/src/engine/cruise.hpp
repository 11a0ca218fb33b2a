#pragma once

#include <vector>

#include "engine/dynamics.hpp"

/// The long quiet part of a run: every riser stands at its set pressure behind a regulator that holds.
///
/// Then no pressure in the piping changes, air only rides outward on nearly constant flows, and the
/// receiver's cycle touches the piping through the composition of what it gives alone. The state is carried
/// by Taylor series whose terms follow from one another by recurrence; the flows, which depend on composition
/// through the molar mass only, are parabolas in time over a step.
namespace oxfade::engine {

/// Taylor steps of a plant without loops and mixing while all risers hold.
class CruiseSeries {
  public:
    static constexpr int order = 24;       ///< of the compositions
    static constexpr int flow_order = 16;  ///< of the flows

    explicit CruiseSeries(const Dynamics& dynamics);

    /// True when the structure of the plant allows it at all.
    static bool possible(const Network& net);
    /// True when all risers are in service and hold.
    bool ready() const;

    /// Takes over a state (and the open vents of the dynamics' modes).
    void load(const State& x);
    void store(State& x) const;

    /// What flows at the state held: call after load() and after every finish(), before expand().
    /// @param made, made_air what the source makes in all, and of it air [mol/s]
    void start(double made, double made_air);
    double supply() const { return supply_[0]; }           ///< of all risers [mol/s]
    double riser_supply(int r) const;                      ///< [mol/s]
    double largest_rate() const { return largest_rate_; }  ///< of any compartment [1/s]
    double source_moles() const { return source_; }
    double source_air() const { return source_air_; }
    const std::vector<double>& fractions() const { return z_; }  ///< the first entries, one a node

    /// Builds the series about the state held, with as many terms as a step of a size [s] needs.
    void expand(double size);
    /// What all risers draw together, at a time [mol/s], and from the start on [mol].
    double supply_at(double t) const;
    double drawn(double t) const;
    /// Bound of the relative change of the supply over a step.
    double supply_change(double size) const;

    double air_fraction(int node) const { return z_[static_cast<std::size_t>(node)]; }
    double air_fraction_at(int node, double t) const;
    /// Its slope at the start of the step [1/s].
    double air_fraction_slope(int node) const {
        return z_[static_cast<std::size_t>(nodes_) + static_cast<std::size_t>(node)];
    }
    double air_fraction_slope_at(int node, double t) const;

    /// Moves the state to a time within the step.
    void finish(double t);
    /// The same, the receiver's content given instead (whole source cycles have passed on pure product).
    void finish(double t, double source_moles);

    /// Hands a trace of air left in the receiver to the risers at once.
    void flush_source();
    /// Lets the traces of air left in the compartments out at once.
    void flush_nodes();
    /// Highest air fraction of any compartment that gas passes through.
    double highest_fraction() const;  ///< in magnitude
    /// Entries that a cycle of the source changes: for comparing one with the next.
    const std::vector<double>& totals() const { return totals_; }
    void add_to_totals(const std::vector<double>& change, double times);

  private:
    int terms_for(double size) const;
    int flow_terms_for(double size) const;
    void expand_flows(int k);
    void expand_source(int k);
    void expand_nodes(int k);

    const Dynamics& dynamics_;
    const Network& net_;
    Layout layout_;
    int nodes_ = 0;
    double source_ = 0.0, source_air_ = 0.0;  ///< [mol]
    double made_ = 0.0, made_air_ = 0.0;      ///< [mol/s]
    double largest_rate_ = 0.0;
    int terms_ = order, flow_terms_ = flow_order;  ///< highest powers in use
    std::vector<double> moles_;                    ///< of each node
    std::vector<double> strength_;                 ///< outflow of each node times sqrt(M): draught x area
    std::vector<double> vent_part_;                ///< of it, through vents
    // Series: rows of one entry a node.
    std::vector<double> z_;          ///< air fraction
    std::vector<double> root_mass_;  ///< 1/sqrt(M)
    std::vector<double> out_;        ///< flow to the outside
    std::vector<double> link_;       ///< flow into each node from its parent
    double supply_[flow_order + 1]{};
    double source_series_[flow_order + 2]{};
    double source_z_[order + 1]{}, source_air_series_[order + 1]{};
    std::vector<double> totals_;         ///< four a riser: as Layout::Total
    std::vector<double> totals_series_;  ///< order + 1 rows
};

}  // namespace oxfade::engine
