#include "engine/resolved_dynamics.hpp"

#include <algorithm>
#include <cmath>

#include "engine/at.hpp"
#include "engine/resolved_linearisation.hpp"
#include "engine/uniform_dynamics.hpp"
#include "oxfade/flow/orifice.hpp"

namespace oxfade::engine {

Flows ResolvedDynamics::make_flows() const {
    Flows flows = Dynamics::make_flows();
    flows.out_slope.assign(at(layout().nodes), 0.0);
    flows.link_slope.assign(at(layout().nodes), {});
    flows.need.assign(at(layout().nodes), 0.0);
    flows.steady_link = flows.need;
    flows.steady_loop = flows.loop;
    for (const RiserNet& riser : network().risers) flows.loop_slope.emplace_back(riser.loops.size());
    return flows;
}

std::unique_ptr<Linearisation> ResolvedDynamics::linearise() const {
    return std::make_unique<ResolvedLinearisation>(*this);
}

void ResolvedDynamics::gas_of(const State& x, int r, Flows& flows, State& dxdt) const {
    const RiserNet& riser = network().risers[at(r)];
    for (int i = riser.first; i < riser.first + riser.count; ++i) {
        outlet_of(x, i, flows);
        dxdt[layout().gas(i)] = -flows.out[at(i)];
    }
    Flows::OfRiser& own = flows.risers[at(r)];
    own.pressure = pressure(x, riser.first, flows);
    const bool holds = modes().risers[at(r)].supply == SupplyMode::hold;
    if (!holds) supply_of(x, r, flows);
    steady_flows(r, flows);
    links_of(x, r, flows, dxdt);
    mixing_of(x, r, flows);
    double& entry = dxdt[layout().riser(r)];
    own.out = -entry;
    breathe(x, r, {x[layout().riser(r)]}, own, flows.thermal[at(r)]);
    if (holds) {
        own.supply_slope_source = own.supply_slope_riser = 0.0;
        own.supply = own.asked;
    }
    own.gain = own.supply - own.out;
    entry = own.gain;
}

void ResolvedDynamics::steady_flows(int r, Flows& flows) const {
    const Network& net = network();
    const RiserNet& riser = net.risers[at(r)];
    double gain = 0.0;
    if (modes().risers[at(r)].supply != SupplyMode::hold) {
        gain = flows.risers[at(r)].supply;
        for (int i = riser.first; i < riser.first + riser.count; ++i) gain -= flows.out[at(i)];
    }
    for (int i = riser.first; i < riser.first + riser.count; ++i) {
        flows.need[at(i)] = net.share[at(i)] * gain + flows.out[at(i)];
    }
    sweep_flows(net, riser, flows.need, flows.steady_link);
    if (!riser.loops.empty()) close_loops(net, riser, flows.steady_link, flows.steady_loop[at(r)]);
}

void ResolvedDynamics::links_of(const State& x, int r, Flows& flows, State& dxdt) const {
    const Network& net = network();
    const RiserNet& riser = net.risers[at(r)];
    const auto move = [&](double flow, int from, int to) {
        dxdt[layout().gas(from)] -= flow;
        dxdt[layout().gas(to)] += flow;
    };
    for (int i = riser.first + 1; i < riser.first + riser.count; ++i) {
        const int p = net.parent[at(i)];
        const Passage link =
            passage(x, p, i, net.friction[at(i)], flows.link[at(i)], flows.steady_link[at(i)], flows);
        flows.link[at(i)] = link.flow;
        flows.link_slope[at(i)] = link.slopes;
        move(link.flow, p, i);
    }
    for (std::size_t k = 0; k < riser.loops.size(); ++k) {
        const LoopLink& loop = riser.loops[k];
        double& flow = flows.loop[at(r)][k];
        const Passage link =
            passage(x, loop.first, loop.second, loop.friction, flow, flows.steady_loop[at(r)][k], flows);
        flow = link.flow;
        flows.loop_slope[at(r)][k] = link.slopes;
        move(link.flow, loop.first, loop.second);
    }
}

void ResolvedDynamics::mixing_of(const State& x, int r, Flows& flows) const {
    if (!network().any_mixing) return;
    const RiserNet& riser = network().risers[at(r)];
    MixingBatch& batch = flows.mixing_batch[at(r)];
    const auto set_gas = [&](int link, int a, int b) {
        const double middle = 0.5 * (pressure(x, a, flows) + pressure(x, b, flows));
        batch.set_gas(link, mixing_gas(middle, thermal(flows, a)));
    };
    for (int i = riser.first + 1; i < riser.first + riser.count; ++i) {
        set_gas(i - riser.first, network().parent[at(i)], i);
        batch.set_flow(i - riser.first, flows.link[at(i)]);
    }
    for (std::size_t k = 0; k < riser.loops.size(); ++k)
        set_gas(riser.count + static_cast<int>(k), riser.loops[k].first, riser.loops[k].second);
    mix(r, flows);
}

void ResolvedDynamics::outlet_of(const State& x, int node, Flows& flows) const {
    const Network& net = network();
    const double z = air_fraction(x, node);
    flows.fraction[at(node)] = z;
    flows.out[at(node)] = flows.out_slope[at(node)] = 0.0;
    const double area = net.leak_area[at(node)] + open_vents(node);
    if (!(area > 0.0)) return;
    const double inside = pressure(x, node, flows);
    const bool inward = inside < net.site_pressure;
    const flow::Draught d = inward
                                ? flow::draught(net.site_pressure, inside, flows.source_thermal.temperature)
                                : flow::draught(inside, net.site_pressure, thermal(flows, node).temperature);
    const double factor = area / std::sqrt(net.gases.molar_mass(inward ? 1.0 : z));
    flows.out[at(node)] = factor * (inward ? -d.value : d.value);
    flows.out_slope[at(node)] =
        factor * (inward ? -d.slope_downstream : d.slope_upstream) * pressure_per_mole(flows, node);
}

ResolvedDynamics::Passage ResolvedDynamics::passage(const State& x, int a, int b,
                                                    const LinkFriction& friction, double guess,
                                                    double towards, const Flows& flows) const {
    const Network& net = network();
    const double pa = pressure(x, a, flows), pb = pressure(x, b, flows);
    // One gas in the whole link, between those of its ends: then the law is smooth where the flow turns.
    const double z = std::clamp(0.5 * (flows.fraction[at(a)] + flows.fraction[at(b)]), 0.0, 1.0);
    const LinkGas gas{thermal(flows, a).temperature, net.gases.molar_mass(z),
                      net.gases.viscosity_product * net.gases.relative_viscosity(z)};
    const double copies = friction.copies;
    FrictionFlow found =
        friction_flow(friction, (pa - pb) * (pa + pb), gas, guess / copies, towards / copies);
    found.flow *= copies;
    found.slope *= copies;
    Passage out;
    out.flow = found.flow;
    out.slopes = {2.0 * pa * found.slope * pressure_per_mole(flows, a),
                  -2.0 * pb * found.slope * pressure_per_mole(flows, b)};
    return out;
}

}  // namespace oxfade::engine
