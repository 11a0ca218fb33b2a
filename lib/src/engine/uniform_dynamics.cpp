#include "engine/uniform_dynamics.hpp"

#include <algorithm>
#include <cmath>

#include "engine/at.hpp"
#include "engine/network_links.hpp"
#include "engine/uniform_linearisation.hpp"
#include "oxfade/flow/orifice.hpp"

namespace oxfade::engine {

void sweep_flows(const Network& net, const RiserNet& riser, std::vector<double>& need,
                 std::vector<double>& link) {
    // Along a run of pipe the sum stays at hand.
    double run = 0.0;
    for (int i = riser.first + riser.count - 1; i > riser.first; --i) {
        const double all = need[at(i)] + run;
        link[at(i)] = all;
        const int p = net.parent[at(i)];
        const bool next = p == i - 1;
        run = next ? all : 0.0;
        if (!next) need[at(p)] += all;
    }
    link[at(riser.first)] = need[at(riser.first)] + run;
}

void close_loops(const Network& net, const RiserNet& riser, std::vector<double>& link,
                 std::vector<double>& loop) {
    const std::size_t count = riser.loops.size();
    std::vector<double> drop(count, 0.0);
    for (std::size_t k = 0; k < count; ++k) {
        for (const auto& m : riser.loops[k].members)
            drop[k] += m.sign * net.resistance[at(m.node)] * link[at(m.node)];
    }
    for (std::size_t k = 0; k < count; ++k) {
        loop[k] = 0.0;
        for (std::size_t j = 0; j < count; ++j) loop[k] -= riser.loop_inverse[k * count + j] * drop[j];
    }
    for (std::size_t k = 0; k < count; ++k) {
        for (const auto& m : riser.loops[k].members) link[at(m.node)] += m.sign * loop[k];
    }
}

std::unique_ptr<Linearisation> UniformDynamics::linearise() const {
    return std::make_unique<UniformLinearisation>(*this);
}

void UniformDynamics::gas_of(const State& x, int r, Flows& flows, State& dxdt) const {
    Flows::OfRiser& own = flows.risers[at(r)];
    outlets_of(x, r, flows);
    if (modes().risers[at(r)].supply == SupplyMode::hold) {
        own.supply_slope_source = own.supply_slope_riser = 0.0;
        own.supply = own.asked;
    } else {
        supply_of(x, r, flows);
    }
    own.gain = own.supply - own.out;
    links_of(r, flows);
    mixing_of(r, flows);
    dxdt[layout().riser(r)] = own.gain;
}

void UniformDynamics::outlets_of(const State& x, int r, Flows& flows) const {
    const Network& net = network();
    const RiserNet& riser = net.risers[at(r)];
    Flows::OfRiser& own = flows.risers[at(r)];
    const Thermal& thermal = flows.thermal[at(r)];
    const double moles = x[layout().riser(r)];
    const double pressure_per_mole = riser.pressure_per_mole * thermal.warmth;
    own.pressure = moles * pressure_per_mole;
    const bool inward = own.pressure < net.site_pressure;
    const flow::Draught d =
        inward ? flow::draught(net.site_pressure, own.pressure, flows.source_thermal.temperature)
               : flow::draught(own.pressure, net.site_pressure, thermal.temperature);
    own.draught = inward ? -d.value : d.value;
    own.draught_slope = (inward ? -d.slope_downstream : d.slope_upstream) * pressure_per_mole;
    own.moles = moles;
    own.out = 0.0;
    const double least = std::max(moles, least_moles);
    const bool swollen = least > riser.knee;
    for (int i = riser.first; i < riser.first + riser.count; ++i) {
        const double node_moles = layout().moles(least, i), z = x[layout().air(i)] / node_moles;
        flows.fraction[at(i)] = z;
        flows.moles[at(i)] = node_moles;
        double area = net.leak_area[at(i)] + open_vents(i);
        if (swollen) area += net.leak_spread[at(i)] * (node_moles / (least * net.share[at(i)]) - 1.0);
        const double mass = net.gases.molar_mass(inward ? 1.0 : z);
        flows.out[at(i)] = area > 0.0 ? own.draught * area / std::sqrt(mass) : 0.0;
        own.out += flows.out[at(i)];
    }
    breathe(x, r, {moles}, own, thermal);
}

void UniformDynamics::links_of(int r, Flows& flows) const {
    const Network& net = network();
    const RiserNet& riser = net.risers[at(r)];
    const double gain = flows.risers[at(r)].gain;
    const std::vector<double>& takes = swollen(r, flows) ? net.swell : net.share;
    std::vector<double>& need = flows.mixing;  // free until mixing_of fills it
    for (int i = riser.first; i < riser.first + riser.count; ++i) {
        need[at(i)] = takes[at(i)] * gain + flows.out[at(i)];
    }
    sweep_flows(net, riser, need, flows.link);
    if (!riser.loops.empty()) close_loops(net, riser, flows.link, flows.loop[at(r)]);
}

bool UniformDynamics::swollen(int r, const Flows& flows) const {
    const RiserNet& riser = network().risers[at(r)];
    return flows.risers[at(r)].moles > riser.knee;
}

/// Mixing along a line whose cells move: from where they are now, with the pipe that stands there.
void UniformDynamics::breathe_line(const BreathingLine& line, int r, const MixingGas& gas,
                                   Flows& flows) const {
    const Network& net = network();
    const double gain = swollen(r, flows) ? flows.risers[at(r)].gain : 0.0;
    const double per_mole = 1.0 / (gas.density * line.copies);  // volume of one line [m3]
    double volume = 0.0;                                        // from its end
    std::size_t piece = 0;
    for (int k = line.count - 1; k >= 0; --k) {
        const int i = line.first + k, before = net.parent[at(i)];
        const double own = flows.moles[at(i)] * per_mole;
        volume += own;
        while (piece + 1 < line.pieces.size() && volume > line.pieces[piece].until * (1.0 + 1e-9)) ++piece;
        LinkMixing::Piece pipe = line.pieces[piece].pipe;
        // From the mouth: where the cell begins, and half of it and of the one before [m].
        const double by_area = line.copies / pipe.area;
        const double begin = (line.volume - volume) * by_area, half = 0.5 * own * by_area;
        flows.reach[at(i)] = k == 0 ? 0.0 : 0.5 * flows.moles[at(before)] * per_mole * by_area;
        flows.inverse_step[at(i)] = 1.0 / (flows.reach[at(i)] + half);
        pipe.length = beyond(line.stirred, begin - flows.reach[at(i)], begin) +
                      beyond(line.stirred, begin, begin + half);
        const int which = i - net.risers[at(r)].first;
        flows.mixing_batch[at(r)].set_piece(which, pipe);
        flows.mixing_batch[at(r)].set_flow(which, flows.link[at(i)] + line.carried[at(k)] * gain);
    }
}

void UniformDynamics::mixing_of(int r, Flows& flows) const {
    const Network& net = network();
    const RiserNet& riser = net.risers[at(r)];
    if (!net.any_mixing) {
        std::fill_n(flows.mixing.begin() + riser.first, riser.count, 0.0);
        return;
    }
    MixingBatch& batch = flows.mixing_batch[at(r)];
    const MixingGas gas = mixing_gas(flows.risers[at(r)].pressure, flows.thermal[at(r)]);
    batch.set_gas(gas);
    for (int k = 1; k < riser.count; ++k) batch.set_flow(k, flows.link[at(riser.first + k)]);
    for (const BreathingLine& line : riser.lines) breathe_line(line, r, gas, flows);
    mix(r, flows);
}

}  // namespace oxfade::engine
