#pragma once

#include "engine/dynamics.hpp"
#include "oxfade/flow/water_exchange.hpp"

namespace oxfade::engine {

/// Water parts the riser into zones of one pressure (model.md section 9). Zones joined by a low point that is
/// open, or through which gas bubbles, move together: their pressures differ by a constant, and one balance
/// (eq. 5) says how they change. The water exchanges vapour, oxygen and nitrogen with the gas beside it.
class WetDynamics : public Dynamics {
  public:
    explicit WetDynamics(const Network& network);
    State initial_state() const override;
    Flows make_flows() const override;
    std::unique_ptr<Linearisation> linearise() const override;

    double zone_pressure_per_mole(int zone) const;  ///< at the mean temperature [Pa/mol]
    double zone_volume(int zone) const { return zone_volume_[static_cast<std::size_t>(zone)]; }
    int zone_begin(int r) const { return zone_begin_[static_cast<std::size_t>(r)]; }
    int zone_end(int r) const { return zone_begin_[static_cast<std::size_t>(r) + 1]; }
    /// The first zone of those that move together with a zone.
    int group(int zone) const { return group_[static_cast<std::size_t>(zone)]; }
    double group_volume(int group) const { return group_volume_[static_cast<std::size_t>(group)]; }  ///< [m3]
    /// Gas passes the link from a node to its parent.
    bool joined(int node) const;
    /// As sweep_flows, but that nothing passes where water closes the bore.
    void sweep(int r, std::vector<double>& need, std::vector<double>& link) const;
    double oxygen_moles(const State& x, int node) const;
    double nitrogen_moles(const State& x, int node) const;

    /// Moves gas between zones that move together until their pressures differ by what they should; upwind,
    /// as in a short blow. Of the flows, only how warm it is counts.
    void level(const Flows& flows, State& x) const;

    /// Puts as much water into a low point as at the start of the run. It has stood long enough to be in
    /// balance with the gas beside it.
    void fill_spot(int spot, double time, State& x) const;

    /// Water of a low point [m3].
    double water_volume(const State& x, int spot) const;

  private:
    void gas_of(const State& x, int r, Flows& flows, State& dxdt) const override;
    void water_of(int r, const Flows& flows, State& dxdt) const override;
    void modes_changed() override;

    void pressures_of(const State& x, int r, Flows& flows) const;
    void fractions_of(const State& x, int r, Flows& flows) const;
    void exchange_of(const State& x, int r, Flows& flows) const;
    void film_of(const State& x, int node, const flow::WaterProperties& properties, Flows& flows) const;
    void spot_of(const State& x, int spot, const flow::WaterProperties& properties, Flows& flows) const;
    void outlets_of(int r, Flows& flows) const;
    void groups_of(const State& x, int r, Flows& flows, State& dxdt) const;
    void links_of(int r, const State& dxdt, Flows& flows) const;
    void mixing_of(int r, Flows& flows) const;
    double link_share(int node, const Flows& flows) const;
    std::vector<double> missing_gas(const Flows& flows, const State& x, int r) const;
    void blow(int r, const std::vector<double>& link, const std::vector<double>& missing, State& x) const;

    std::vector<flow::WaterProperties> properties_;  ///< of each riser, at its mean temperature
    std::vector<int> riser_of_zone_;
    std::vector<int> zone_begin_;
    std::vector<double> zone_volume_;
    std::vector<int> group_;
    std::vector<double> group_volume_;
};

}  // namespace oxfade::engine
