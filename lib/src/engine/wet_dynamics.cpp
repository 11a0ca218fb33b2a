#include "engine/wet_dynamics.hpp"

#include <algorithm>
#include <cmath>

#include "engine/at.hpp"
#include "engine/composition.hpp"
#include "engine/uniform_dynamics.hpp"
#include "engine/wet_linearisation.hpp"
#include "oxfade/flow/orifice.hpp"
#include "oxfade/flow/water_exchange.hpp"
#include "oxfade/gas/water.hpp"

namespace oxfade::engine {
namespace {

/// Molar masses of the traces less that of the product [kg/mol].
std::array<double, Layout::traces> mass_excess(const Gases& gases) {
    return {gas::species_molar_mass[at(static_cast<int>(gas::Species::oxygen))] - gases.mass_product,
            gas::species_molar_mass[at(static_cast<int>(gas::Species::nitrogen))] - gases.mass_product,
            gas::water_molar_mass - gases.mass_product};
}

}  // namespace

WetDynamics::WetDynamics(const Network& network) : Dynamics(network), riser_of_zone_(at(network.zones)) {
    for (const RiserNet& riser : network.risers) properties_.emplace_back(riser.temperature);
    for (int i = 0; i < network.nodes(); ++i)
        riser_of_zone_[at(network.zone_of[at(i)])] = network.riser_of[at(i)];
    zone_volume_.assign(at(network.zones), 0.0);
    for (int i = 0; i < network.nodes(); ++i)
        zone_volume_[at(network.zone_of[at(i)])] += network.gas_volume[at(i)];
    for (const RiserNet& riser : network.risers) zone_begin_.push_back(network.zone_of[at(riser.first)]);
    zone_begin_.push_back(network.zones);
    modes_changed();
}

/// The gas beside the water is dry.
State WetDynamics::initial_state() const {
    State x = Dynamics::initial_state();
    for (int s = 0; s < layout().spots; ++s) fill_spot(s, 0.0, x);
    return x;
}

void WetDynamics::fill_spot(int s, double time, State& x) const {
    const WaterSpot& spot = network().water[at(s)];
    const RiserNet& riser = network().risers[at(spot.riser)];
    const double temperature = riser.temperature * network().warmth(spot.riser, time);
    flow::WaterProperties now(temperature);
    now.density = properties_[at(spot.riser)].density;
    x[layout().water(s)] = spot.water * now.density / gas::water_molar_mass;
    for (int k = 0; k < 2; ++k) x[layout().dissolved(s, static_cast<Layout::Trace>(k))] = 0.0;
    for (const int node : {network().parent[at(spot.node)], spot.node}) {
        const double per_mole = gas::gas_constant * temperature / network().gas_volume[at(node)];
        const std::array<double, 2> pressure{oxygen_moles(x, node) * per_mole,
                                             nitrogen_moles(x, node) * per_mole};
        for (int k = 0; k < 2; ++k) {
            x[layout().dissolved(s, static_cast<Layout::Trace>(k))] +=
                0.5 * now.henry[at(k)] * pressure[at(k)] * spot.water;
        }
    }
}

Flows WetDynamics::make_flows() const {
    Flows flows = Dynamics::make_flows();
    WaterFlows& water = flows.water;
    for (auto* v :
         {&water.pressure, &water.pressure_rate, &water.draught, &water.draught_slope, &water.out}) {
        v->assign(at(network().zones), 0.0);
    }
    for (auto* v : {&water.film, &water.film_by_vapour, &water.film_by_film})
        v->assign(at(layout().nodes), 0.0);
    for (auto* traces : {&water.fraction, &water.source}) {
        for (auto& v : *traces) v.assign(at(layout().nodes), 0.0);
    }
    water.spots.resize(network().water.size());
    for (std::size_t s = 0; s < water.spots.size(); ++s) {
        const int node = network().water[s].node;
        water.spots[s].node = {network().parent[at(node)], node};
    }
    return flows;
}

std::unique_ptr<Linearisation> WetDynamics::linearise() const {
    return std::make_unique<WetLinearisation>(*this);
}

double WetDynamics::zone_pressure_per_mole(int zone) const {
    return gas::gas_constant * network().risers[at(riser_of_zone_[at(zone)])].temperature /
           zone_volume_[at(zone)];
}

bool WetDynamics::joined(int node) const {
    const int spot = network().spot_of[at(node)];
    return spot < 0 || modes().seals[at(spot)].seal != Seal::closed;
}

double WetDynamics::water_volume(const State& x, int spot) const {
    const double moles = std::max(x[layout().water(spot)], 0.0);
    return moles * gas::water_molar_mass / properties_[at(network().water[at(spot)].riser)].density;
}

void WetDynamics::modes_changed() {
    group_.resize(at(network().zones));
    group_volume_.assign(at(network().zones), 0.0);
    for (int i = 0; i < network().nodes(); ++i) {
        const int zone = network().zone_of[at(i)];
        const bool enters = network().parent[at(i)] < 0;
        if (enters) group_[at(zone)] = zone;
        if (enters || network().spot_of[at(i)] < 0) continue;
        group_[at(zone)] = joined(i) ? group_[at(network().zone_of[at(network().parent[at(i)])])] : zone;
    }
    for (int z = 0; z < network().zones; ++z) group_volume_[at(group_[at(z)])] += zone_volume_[at(z)];
}

void WetDynamics::sweep(int r, std::vector<double>& need, std::vector<double>& link) const {
    const RiserNet& riser = network().risers[at(r)];
    for (int i = riser.first + riser.count - 1; i > riser.first; --i) {
        const bool passes = joined(i);
        link[at(i)] = passes ? need[at(i)] : 0.0;
        if (passes) need[at(network().parent[at(i)])] += need[at(i)];
    }
    link[at(riser.first)] = need[at(riser.first)];
}

void WetDynamics::gas_of(const State& x, int r, Flows& flows, State& dxdt) const {
    pressures_of(x, r, flows);
    fractions_of(x, r, flows);
    exchange_of(x, r, flows);
    outlets_of(r, flows);
    groups_of(x, r, flows, dxdt);
    links_of(r, dxdt, flows);
    mixing_of(r, flows);
}

void WetDynamics::pressures_of(const State& x, int r, Flows& flows) const {
    const Network& net = network();
    WaterFlows& water = flows.water;
    const Thermal& thermal = flows.thermal[at(r)];
    for (int z = zone_begin(r); z < zone_end(r); ++z) {
        const double per_mole = zone_pressure_per_mole(z) * thermal.warmth, pressure = x[2 + z] * per_mole;
        const bool inward = pressure < net.site_pressure;
        const flow::Draught d =
            inward ? flow::draught(net.site_pressure, pressure, flows.source_thermal.temperature)
                   : flow::draught(pressure, net.site_pressure, thermal.temperature);
        water.pressure[at(z)] = pressure;
        water.draught[at(z)] = inward ? -d.value : d.value;
        water.draught_slope[at(z)] = (inward ? -d.slope_downstream : d.slope_upstream) * per_mole;
        water.out[at(z)] = 0.0;
    }
    flows.risers[at(r)].pressure = water.pressure[at(zone_begin(r))];
}

void WetDynamics::fractions_of(const State& x, int r, Flows& flows) const {
    const RiserNet& riser = network().risers[at(r)];
    for (int i = riser.first; i < riser.first + riser.count; ++i) {
        const double inverse = 1.0 / std::max(layout().moles(x, i), least_moles);
        flows.fraction[at(i)] = x[layout().air(i)] * inverse;
        for (int k = 0; k < Layout::traces; ++k) {
            flows.water.fraction[at(k)][at(i)] =
                x[layout().trace(static_cast<Layout::Trace>(k), i)] * inverse;
        }
    }
}

double WetDynamics::oxygen_moles(const State& x, int node) const {
    return oxygen_fraction(network(), layout(), x, node) * dry_moles(layout(), x, node);
}

double WetDynamics::nitrogen_moles(const State& x, int node) const {
    const double air = x[layout().air(node)];
    const double oxygen = x[layout().trace(Layout::oxygen, node)];
    const double nitrogen = x[layout().trace(Layout::nitrogen, node)];
    const double product = dry_moles(layout(), x, node) - air - oxygen - nitrogen;
    const Gases& gases = network().gases;
    return gases.air[gas::Species::nitrogen] * air + gases.product[gas::Species::nitrogen] * product +
           nitrogen;
}

void WetDynamics::exchange_of(const State& x, int r, Flows& flows) const {
    const RiserNet& riser = network().risers[at(r)];
    flow::WaterProperties properties = properties_[at(r)];
    if (network().moving) properties = flow::WaterProperties(flows.thermal[at(r)].temperature);
    for (auto& source : flows.water.source) {
        std::fill_n(source.begin() + riser.first, riser.count, 0.0);
    }
    for (int i = riser.first; i < riser.first + riser.count; ++i) film_of(x, i, properties, flows);
    for (int s = 0; s < layout().spots; ++s) {
        if (network().water[at(s)].riser == r) spot_of(x, s, properties, flows);
    }
}

void WetDynamics::film_of(const State& x, int node, const flow::WaterProperties& properties,
                          Flows& flows) const {
    const Network& net = network();
    const flow::VapourBalance balance{net.bore[at(node)], net.wall[at(node)], net.gas_volume[at(node)],
                                      flows.water.pressure[at(net.zone_of[at(node)])]};
    constexpr double trace_film = 1e-3;  // of what saturates the node at about room temperature
    const double least = trace_film * net.gas_volume[at(node)];
    const flow::Evaporation e = flow::evaporation(
        properties, balance, x[layout().trace(Layout::vapour, node)], x[layout().film(node)], least);
    flows.water.film[at(node)] = e.flow;
    flows.water.film_by_vapour[at(node)] = e.by_vapour;
    flows.water.film_by_film[at(node)] = e.by_water;
    flows.water.source[Layout::vapour][at(node)] += e.flow;
}

void WetDynamics::spot_of(const State& x, int spot, const flow::WaterProperties& properties,
                          Flows& flows) const {
    const Network& net = network();
    const WaterSpot& given = net.water[at(spot)];
    SpotFlows& out = flows.water.spots[at(spot)];
    const double volume = water_volume(x, spot);
    const flow::DipWater stand = given.stand(volume);
    out.free_share = stand.free_share;
    const std::array<double, 2> surface{stand.surface_before, stand.surface_behind};
    for (std::size_t side = 0; side < 2; ++side) {
        const int node = out.node[side];
        const double pressure = flows.water.pressure[at(net.zone_of[at(node)])];
        const flow::VapourBalance balance{net.bore[at(node)], surface[side], net.gas_volume[at(node)],
                                          pressure};
        const double least = 1e-4 * given.water * properties.density / gas::water_molar_mass;
        const flow::Evaporation e = flow::evaporation(
            properties, balance, x[layout().trace(Layout::vapour, node)], x[layout().water(spot)], least);
        out.vapour[side] = e.flow;
        out.by_vapour[side] = e.by_vapour;
        out.by_water[side] = e.by_water;
        flows.water.source[Layout::vapour][at(node)] += e.flow;
        out.release[side] = properties.coefficient * surface[side] / std::max(volume, 1e-12);
        const double per_mole = pressure / std::max(layout().moles(x, node), least_moles);
        const std::array<double, 2> moles{oxygen_moles(x, node), nitrogen_moles(x, node)};
        for (int k = 0; k < 2; ++k) {
            const double balanced = properties.henry[at(k)] * moles[at(k)] * per_mole * volume;
            const double held = x[layout().dissolved(spot, static_cast<Layout::Trace>(k))];
            out.gas[at(k)][side] = out.release[side] * (held - balanced);
            flows.water.source[at(k)][at(node)] += out.gas[at(k)][side];
        }
    }
}

void WetDynamics::outlets_of(int r, Flows& flows) const {
    const Network& net = network();
    const RiserNet& riser = net.risers[at(r)];
    const auto excess = mass_excess(net.gases);
    for (int i = riser.first; i < riser.first + riser.count; ++i) {
        const int zone = net.zone_of[at(i)];
        const double area = net.leak_area[at(i)] + open_vents(i);
        double mass = net.gases.molar_mass(1.0);
        if (flows.water.draught[at(zone)] >= 0.0) {
            mass = net.gases.molar_mass(flows.fraction[at(i)]);
            for (int k = 0; k < Layout::traces; ++k)
                mass += excess[at(k)] * flows.water.fraction[at(k)][at(i)];
        }
        flows.out[at(i)] = area > 0.0 ? flows.water.draught[at(zone)] * area / std::sqrt(mass) : 0.0;
        flows.water.out[at(zone)] += flows.out[at(i)];
    }
}

void WetDynamics::groups_of(const State& x, int r, Flows& flows, State& dxdt) const {
    Flows::OfRiser& own = flows.risers[at(r)];
    const RiserNet& riser = network().risers[at(r)];
    std::vector<double>& gain = flows.water.pressure_rate;  // free until the end: net inflow of each group
    for (int z = zone_begin(r); z < zone_end(r); ++z) gain[at(z)] = 0.0;
    for (int z = zone_begin(r); z < zone_end(r); ++z) gain[at(group(z))] -= flows.water.out[at(z)];
    for (int i = riser.first; i < riser.first + riser.count; ++i) {
        gain[at(group(network().zone_of[at(i)]))] += flows.water.source_sum(i);
    }
    const int entry = zone_begin(r);
    double moving = 0.0;  // moles that move together with where gas enters
    for (int z = entry; z < zone_end(r); ++z) moving += group(z) == entry ? x[2 + z] : 0.0;
    const Thermal& thermal = flows.thermal[at(r)];
    own.out = -gain[at(entry)];
    breathe(x, r, {moving, zone_volume(entry) / group_volume(entry)}, own, thermal);
    if (modes().risers[at(r)].supply == SupplyMode::hold) {
        own.supply_slope_source = own.supply_slope_riser = 0.0;
        own.supply = own.asked;
    } else {
        supply_of(x, r, flows);
    }
    own.gain = own.supply - own.out;
    gain[at(entry)] = own.gain;
    // Where it cools, zones of one group go on having pressures that differ by the same (eq. 5).
    if (network().moving) {
        for (int z = entry; z < zone_end(r); ++z) gain[at(group(z))] -= thermal.cooling * x[2 + z];
    }
    for (int z = zone_end(r) - 1; z >= zone_begin(r); --z) {
        dxdt[2 + z] = zone_volume_[at(z)] / group_volume_[at(group(z))] * gain[at(group(z))];
    }
    for (int z = zone_begin(r); z < zone_end(r); ++z) {
        gain[at(z)] = dxdt[2 + z] * zone_pressure_per_mole(z) * thermal.warmth;
        if (network().moving) dxdt[2 + z] += thermal.cooling * x[2 + z];
    }
}

void WetDynamics::links_of(int r, const State& dxdt, Flows& flows) const {
    const RiserNet& riser = network().risers[at(r)];
    std::vector<double>& need = flows.mixing;  // free until mixing_of fills it
    for (int i = riser.first; i < riser.first + riser.count; ++i) {
        need[at(i)] = layout().part(i) * dxdt[layout().gas(i)] + flows.out[at(i)] - flows.water.source_sum(i);
    }
    sweep(r, need, flows.link);
    if (!riser.loops.empty()) close_loops(network(), riser, flows.link, flows.loop[at(r)]);
}

/// Share of a link's mixing that the water on it leaves.
double WetDynamics::link_share(int node, const Flows& flows) const {
    const int spot = network().spot_of[at(node)];
    if (spot < 0) return 1.0;
    return modes().seals[at(spot)].seal == Seal::open ? flows.water.spots[at(spot)].free_share : 0.0;
}

void WetDynamics::mixing_of(int r, Flows& flows) const {
    const Network& net = network();
    const RiserNet& riser = net.risers[at(r)];
    if (!net.any_mixing) {
        std::fill_n(flows.mixing.begin() + riser.first, riser.count, 0.0);
        return;
    }
    const auto excess = mass_excess(net.gases);
    const auto other_mass = [&](int node) {
        double mass = 0.0;
        for (int k = 0; k < Layout::traces; ++k)
            mass += excess[at(k)] * flows.water.fraction[at(k)][at(node)];
        return mass;
    };
    std::vector<MixingGas> gases;
    for (int z = zone_begin(r); z < zone_end(r); ++z)
        gases.push_back(mixing_gas(flows.water.pressure[at(z)], flows.thermal[at(r)]));
    const auto gas_at = [&](int node) { return gases[at(net.zone_of[at(node)] - zone_begin(r))]; };
    MixingBatch& batch = flows.mixing_batch[at(r)];
    for (int i = riser.first + 1; i < riser.first + riser.count; ++i) {
        const int k = i - riser.first;
        batch.set_gas(k, gas_at(i), other_mass(i) - other_mass(net.parent[at(i)]));
        batch.set_flow(k, flows.link[at(i)]);
    }
    for (std::size_t k = 0; k < riser.loops.size(); ++k) {
        const LoopLink& loop = riser.loops[k];
        batch.set_gas(riser.count + static_cast<int>(k), gas_at(loop.first),
                      other_mass(loop.second) - other_mass(loop.first));
    }
    mix(r, flows);
    for (int i = riser.first + 1; i < riser.first + riser.count; ++i) {
        const double share = link_share(i, flows);
        flows.mixing[at(i)] *= share;
        flows.mixing_slope[at(i)] *= share;
        flows.mixing_skew[at(i)] *= share;
    }
}

void WetDynamics::water_of(int r, const Flows& flows, State& dxdt) const {
    const RiserNet& riser = network().risers[at(r)];
    const WaterFlows& water = flows.water;
    for (int k = 0; k < Layout::traces; ++k) {
        const auto which = static_cast<Layout::Trace>(k);
        const std::vector<double>& fraction = water.fraction[at(k)];
        double gone = 0.0;
        for (int i = riser.first; i < riser.first + riser.count; ++i) {
            const double out = std::max(flows.out[at(i)], 0.0) * fraction[at(i)];
            dxdt[layout().trace(which, i)] = water.source[at(k)][at(i)] - out;
            gone += out;
        }
        dxdt[layout().gone(r, which)] = gone;
        const auto move = [&](double flow, double g, int from, int to) {
            const double flux = (flow > 0.0 ? flow * fraction[at(from)] : flow * fraction[at(to)]) +
                                g * (fraction[at(from)] - fraction[at(to)]);
            dxdt[layout().trace(which, from)] -= flux;
            dxdt[layout().trace(which, to)] += flux;
        };
        for (int i = riser.first + 1; i < riser.first + riser.count; ++i) {
            move(flows.link[at(i)], flows.mixing[at(i)], network().parent[at(i)], i);
        }
        for (std::size_t l = 0; l < riser.loops.size(); ++l) {
            move(flows.loop[at(r)][l], flows.loop_mixing[at(r)][l], riser.loops[l].first,
                 riser.loops[l].second);
        }
    }
    for (int i = riser.first; i < riser.first + riser.count; ++i) dxdt[layout().film(i)] = -water.film[at(i)];
    for (int s = 0; s < layout().spots; ++s) {
        if (network().water[at(s)].riser != r) continue;
        const SpotFlows& spot = water.spots[at(s)];
        dxdt[layout().water(s)] = -spot.vapour[0] - spot.vapour[1];
        for (int k = 0; k < 2; ++k) {
            dxdt[layout().dissolved(s, static_cast<Layout::Trace>(k))] =
                -spot.gas[at(k)][0] - spot.gas[at(k)][1];
        }
    }
}

}  // namespace oxfade::engine
