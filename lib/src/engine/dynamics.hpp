#pragma once

#include <array>
#include <memory>
#include <vector>

#include "engine/layout.hpp"
#include "engine/mixing_batch.hpp"
#include "engine/modes.hpp"
#include "engine/network.hpp"
#include "engine/water_flows.hpp"

namespace oxfade::engine {

/// What flows at one state: kept from the evaluation of the rates for the linearisation and for events.
struct Flows {
    struct OfRiser {
        double moles = 0.0;          ///< in it, where one pressure stands in all of a riser
        double pressure = 0.0;       ///< of the vessel its switches sense [Pa]
        double draught = 0.0;        ///< outward (negative: inward) flow of unit area, times sqrt(M)
        double draught_slope = 0.0;  ///< against the riser's moles
        double supply = 0.0;         ///< [mol/s] through fill and supply
        double supply_slope_source = 0.0, supply_slope_riser = 0.0;  ///< against moles there
        double out = 0.0;    ///< what leaves the sensed vessel but for the supply [mol/s]
        double asked = 0.0;  ///< supply that keeps its pressure [mol/s]; below 0 where it warms too fast
        double asked_slope = 0.0;  ///< of asked less out, against the riser's moles
        double together = 0.0;     ///< moles whose pressure moves with it; only where temperatures move
        double gain = 0.0;         ///< supply - out
    };
    std::vector<OfRiser> risers;
    Thermal source_thermal;                   ///< of the site's air and the receiver
    std::vector<Thermal> thermal;             ///< of each riser
    std::vector<double> fraction;             ///< air fraction of each node
    std::vector<double> moles;                ///< in each node, where one pressure stands in all of a riser
    std::vector<MixingBatch> mixing_batch;    ///< of each riser
    std::vector<double> inverse_step, reach;  ///< as in Network, where cells move as they are now
    std::vector<double> out;                  ///< from each node to the outside [mol/s]
    std::vector<double> vent_area;            ///< open vents of each node, effective [m2]
    std::vector<double> link;                 ///< from the parent into each node [mol/s]
    std::vector<double> mixing;               ///< G of the link to the parent [mol/s]
    std::vector<double> mixing_slope;         ///< d(G dz)/d(dz)
    std::vector<double> mixing_skew;          ///< how much less the flux inward is for more air at both ends
    std::vector<double> lean;                 ///< of what flows along that link, how far it is as downstream
    /// How the air in what flows along that link follows from the air in its nodes; they add up to 1.
    struct Face {
        double parent = 1.0, node = 0.0, far = 0.0;
        int far_node = -1;  ///< upstream of both
    };
    std::vector<Face> face;
    bool within_step = false;                      ///< nobody asks for faces, nor for slopes of the mixing
    std::vector<std::vector<double>> loop;         ///< flow of each riser's loop links
    std::vector<std::vector<double>> loop_mixing;  ///< G of each riser's loop links
    std::vector<std::vector<double>> loop_mixing_slope;
    /// Where friction is resolved, a flow's slopes against the moles in the node (a node's own outflow), or
    /// at the end it comes from and the end it goes to when positive.
    struct Slopes {
        double from = 0.0, to = 0.0;
    };
    std::vector<double> out_slope;
    std::vector<Slopes> link_slope;
    std::vector<std::vector<Slopes>> loop_slope;
    /// There too: the flows that would keep the pressure uniform, and room for finding them.
    std::vector<double> steady_link, need;
    std::vector<std::vector<double>> steady_loop;
    double source_fraction = 0.0;  ///< air fraction of what the source gives
    WaterFlows water;              ///< empty without water
};

class Linearisation;

/// Right-hand side between events: model.md eq. 1 to 13. How pressure moves gas is left to those that derive
/// from it; what that gas carries with it is here.
class Dynamics {
  public:
    explicit Dynamics(const Network& network);
    virtual ~Dynamics() = default;
    Dynamics& operator=(const Dynamics&) = delete;

    const Network& network() const { return net_; }
    const Layout& layout() const { return layout_; }
    virtual State initial_state() const;
    virtual Flows make_flows() const;
    virtual std::unique_ptr<Linearisation> linearise() const = 0;

    const Modes& modes() const { return modes_; }
    /// Changes the modes; what depends on them is brought up to date.
    void set_modes(const Modes& modes);

    /// Says that the next steps lie between this moment [s] and the next knot of a temperature table: which
    /// slope counts at a knot.
    void enter(double time);
    double next_knot() const { return next_knot_; }  ///< [s]; infinite when there is none
    /// Whether all temperatures stand still until then, the receiver's at its mean.
    bool standing() const { return standing_; }
    double moment() const { return within_; }  ///< well within that stretch [s]

    /// dx/dt, and the flows it is made of.
    void rates(double time, const State& x, State& dxdt, Flows& flows) const;
    /// How warm everything is, as rates() does it.
    void warm(double time, Flows& flows) const;

    /// Ahead of fill and supply [Pa]. @param source of the receiver
    double pressure_upstream(const State& x, const Thermal& source) const;
    /// Of the vessel the riser's switches sense [Pa].
    double riser_pressure(double time, const State& x, int r) const {
        return x[layout_.riser(r)] *
               (net_.risers[static_cast<std::size_t>(r)].pressure_per_mole * net_.warmth(r, time));
    }
    double air_fraction(const State& x, int node) const;
    /// Most that the supply orifice can pass into a riser at the pressure it stands at [mol/s]. Of the flows,
    /// only how warm it is counts.
    double supply_capacity(const State& x, int r, const Flows& flows) const;
    /// Passage area open into a riser in its mode [m2].
    double passage_area(int r) const;

    double made_nitrogen() const;  ///< [mol/s] of product, in the present mode
    double made_air() const;       ///< [mol/s]

  protected:
    Dynamics(const Dynamics&) = default;

    MixingGas mixing_gas(double pressure, const Thermal& thermal) const;
    /// With what mixing depends on, where anything mixes.
    Thermal with_transport(Thermal thermal) const;
    /// Has the riser's batch compute the mixing, gas and other than tree flows being given.
    void mix(int r, Flows& flows) const;
    /// Supply through an open passage, and its slopes; shut, nothing.
    void supply_of(const State& x, int r, Flows& flows) const;
    /// Gas whose pressure moves with that of the vessel a riser's switches sense.
    struct Together {
        double moles = 0.0;
        double share = 1.0;  ///< of that vessel in its volume
    };
    /// What a regulator that holds has to add to the outflow for the vessel to keep its pressure.
    void breathe(const State& x, int r, const Together& together, Flows::OfRiser& own,
                 const Thermal& thermal) const;
    double open_vents(int node) const { return vent_area_[static_cast<std::size_t>(node)]; }

  private:
    /// Fills in a riser's flows of gas and of mixing, and the rates of its gas.
    virtual void gas_of(const State& x, int r, Flows& flows, State& dxdt) const = 0;
    void lean_of(int r, Flows& flows) const;
    void species_of(int r, const Flows& flows, State& dxdt) const;
    /// What the water does to the species, and what happens to the water; nothing without water.
    virtual void water_of(int, const Flows&, State&) const {}
    /// Called after the modes have changed.
    virtual void modes_changed() {}
    void totals_of(int r, const Flows& flows, State& dxdt) const;

    const Network& net_;
    Layout layout_;
    Modes modes_;
    std::vector<double> vent_area_;  ///< open vents of each node
    Thermal source_thermal_;         ///< at the mean temperature
    std::vector<Thermal> thermal_;
    double within_ = 0.0;     ///< a moment well within the stretch between knots [s]
    double next_knot_ = 0.0;  ///< [s]
    bool standing_ = true;
};

/// The dynamics that a network asks for.
std::unique_ptr<Dynamics> make_dynamics(const Network& net);

/// Moles below which a vessel counts as evacuated when a fraction is formed.
inline constexpr double least_moles = 1e-30;

/// What a flow carries between two places: what is upstream, leaning towards downstream.
inline double carried(double flow, double lean, double from, double to) {
    return flow > 0.0 ? from + lean * (to - from) : to + lean * (from - to);
}

}  // namespace oxfade::engine
