#include "engine/dynamics.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "engine/at.hpp"
#include "engine/linearisation.hpp"
#include "engine/resolved_dynamics.hpp"
#include "engine/uniform_dynamics.hpp"
#include "engine/wet_dynamics.hpp"
#include "oxfade/flow/orifice.hpp"
#include "oxfade/gas/transport.hpp"

namespace oxfade::engine {
namespace {

/// How fast a regulator that holds makes up for a pressure off its mark, where temperatures move [1/s].
constexpr double hold_rate = 1e-3;

/// Flux of air on a flow from a to b, plus mixing.
double air_flux(double flow, double lean, double g, double from, double to) {
    return flow * carried(flow, lean, from, to) + g * (from - to);
}

}  // namespace

Dynamics::Dynamics(const Network& network) : net_(network), layout_(network) {
    vent_area_.assign(at(layout_.nodes), 0.0);
    source_thermal_.temperature = net_.temperature;
    for (const RiserNet& riser : net_.risers) thermal_.push_back(with_transport({riser.temperature}));
    enter(0.0);
    Modes modes;
    modes.machine = net_.source.kind == SourceKind::cylinders ? Machine::delivering : Machine::off;
    modes.risers.resize(net_.risers.size());
    modes.vents.resize(net_.vents.size());
    modes.seals.resize(net_.water.size());
    set_modes(modes);
}

State Dynamics::initial_state() const {
    State x = State::Zero(layout_.size());
    x[Layout::source] = net_.source.initial;
    x[Layout::source_air] = net_.source.initial * net_.source.initial_air;
    for (int i = 0; i < layout_.nodes; ++i) {
        const RiserNet& riser = net_.risers[at(net_.riser_of[at(i)])];
        x[layout_.gas(i)] = riser.initial * net_.share[at(i)] / layout_.part(i);
        x[layout_.air(i)] = layout_.moles(x, i) * riser.initial_air;
    }
    return x;
}

Flows Dynamics::make_flows() const {
    Flows flows;
    const std::size_t nodes = at(layout_.nodes);
    flows.risers.resize(net_.risers.size());
    for (const double step : net_.step) flows.inverse_step.push_back(step > 0.0 ? 1.0 / step : 0.0);
    flows.face.resize(nodes);
    flows.reach = net_.reach;
    flows.source_thermal = source_thermal_;
    flows.thermal = thermal_;
    for (auto* v : {&flows.fraction, &flows.out, &flows.vent_area, &flows.link, &flows.mixing,
                    &flows.mixing_slope, &flows.mixing_skew, &flows.lean, &flows.moles}) {
        v->assign(nodes, 0.0);
    }
    for (const RiserNet& riser : net_.risers) {
        flows.mixing_batch.emplace_back(net_, riser);
        for (auto* v : {&flows.loop, &flows.loop_mixing, &flows.loop_mixing_slope}) {
            v->emplace_back(riser.loops.size(), 0.0);
        }
    }
    return flows;
}

void Dynamics::set_modes(const Modes& modes) {
    modes_ = modes;
    std::fill(vent_area_.begin(), vent_area_.end(), 0.0);
    for (std::size_t v = 0; v < net_.vents.size(); ++v) {
        if (modes_.vents[v].passes()) vent_area_[at(net_.vents[v].node)] += net_.vents[v].area;
    }
    modes_changed();
}

void Dynamics::enter(double time) {
    next_knot_ = std::numeric_limits<double>::infinity();
    within_ = time;
    if (!net_.moving) return;
    next_knot_ = net_.course.next_knot(time);
    for (const RiserNet& riser : net_.risers) next_knot_ = std::min(next_knot_, riser.course.next_knot(time));
    // Not at the knot itself, where rounding decides which slope it has.
    within_ = std::isfinite(next_knot_) ? 0.5 * (time + next_knot_) : time + 1.0;
    const auto stands = [this](const plant::Temperature& course) {
        return course.steady() || (std::holds_alternative<plant::TemperatureTable>(course.course) &&
                                   course.slope_at(within_) == 0.0);
    };
    standing_ = stands(net_.course) && net_.source_warmth(within_) == 1.0 &&
                std::all_of(net_.risers.begin(), net_.risers.end(),
                            [&](const RiserNet& riser) { return stands(riser.course); });
}

void Dynamics::warm(double time, Flows& flows) const {
    if (!net_.moving) return;
    const auto thermal = [&](const plant::Temperature& course, double mean) {
        const bool table = std::holds_alternative<plant::TemperatureTable>(course.course);
        const double now = course.at(time);
        return Thermal{now, now / mean, -course.slope_at(table ? within_ : time) / now};
    };
    flows.source_thermal = thermal(net_.course, net_.temperature);
    for (std::size_t r = 0; r < net_.risers.size(); ++r) {
        flows.thermal[r] = with_transport(thermal(net_.risers[r].course, net_.risers[r].temperature));
    }
}

double Dynamics::pressure_upstream(const State& x, const Thermal& source) const {
    if (net_.source.kind == SourceKind::cylinders) {
        return modes_.machine == Machine::delivering ? net_.source.delivery_pressure : 0.0;
    }
    return x[Layout::source] * (net_.source.pressure_per_mole * source.warmth);
}

double Dynamics::air_fraction(const State& x, int node) const {
    return x[layout_.air(node)] / std::max(layout_.moles(x, node), least_moles);
}

double Dynamics::passage_area(int r) const {
    const RiserNet& riser = net_.risers[at(r)];
    const RiserMode mode = modes_.risers[at(r)];
    if (mode.stage == Stage::filling) return riser.fill_area;
    return mode.supply == SupplyMode::wide ? riser.supply_area : 0.0;
}

double Dynamics::supply_capacity(const State& x, int r, const Flows& flows) const {
    const RiserNet& riser = net_.risers[at(r)];
    const double fraction = x[Layout::source_air] / std::max(x[Layout::source], least_moles);
    const double pressure = x[layout_.riser(r)] * (riser.pressure_per_mole * flows.thermal[at(r)].warmth);
    return flow::orifice_flow(riser.supply_area, pressure_upstream(x, flows.source_thermal), pressure,
                              flows.source_thermal.temperature, net_.gases.molar_mass(fraction));
}

void Dynamics::breathe(const State& x, int r, const Together& together, Flows::OfRiser& own,
                       const Thermal& thermal) const {
    own.asked = own.out;
    own.asked_slope = 0.0;
    if (!net_.moving) return;
    const double moles = x[layout_.riser(r)];
    own.together = together.moles;
    own.asked += together.moles * thermal.cooling;
    own.asked_slope = thermal.cooling;
    if (modes_.risers[at(r)].supply != SupplyMode::hold || thermal.cooling == 0.0) return;
    // What the steps leave in errors may not add up over days of breathing.
    const double rate = hold_rate / together.share;
    own.asked += (net_.risers[at(r)].set / thermal.warmth - moles) * rate;
    own.asked_slope -= rate;
}

double Dynamics::made_nitrogen() const {
    return modes_.machine == Machine::nitrogen ? net_.source.nitrogen_flow : 0.0;
}

std::unique_ptr<Dynamics> make_dynamics(const Network& net) {
    if (net.pressures == Pressures::resolved) return std::make_unique<ResolvedDynamics>(net);
    if (net.pressures == Pressures::zoned) return std::make_unique<WetDynamics>(net);
    return std::make_unique<UniformDynamics>(net);
}

double Dynamics::made_air() const { return modes_.machine == Machine::air ? net_.source.air_flow : 0.0; }

void Dynamics::rates(double time, const State& x, State& dxdt, Flows& flows) const {
    warm(time, flows);
    flows.vent_area = vent_area_;
    flows.source_fraction = x[Layout::source_air] / std::max(x[Layout::source], least_moles);
    double drawn = 0.0;
    for (int r = 0; r < layout_.risers; ++r) {
        gas_of(x, r, flows, dxdt);
        if (net_.any_resolved) lean_of(r, flows);
        species_of(r, flows, dxdt);
        totals_of(r, flows, dxdt);
        if (layout_.wet()) water_of(r, flows, dxdt);
        drawn += flows.risers[at(r)].supply;
    }
    dxdt[Layout::source] = made_nitrogen() + made_air() - drawn;
    dxdt[Layout::source_air] = made_air() - drawn * flows.source_fraction;
}

void Dynamics::supply_of(const State& x, int r, Flows& flows) const {
    const RiserNet& riser = net_.risers[at(r)];
    Flows::OfRiser& own = flows.risers[at(r)];
    own.supply = own.supply_slope_source = own.supply_slope_riser = 0.0;
    const double area = passage_area(r);
    if (!(area > 0.0)) return;
    const Thermal& source = flows.source_thermal;
    const flow::Draught d = flow::draught(pressure_upstream(x, source), own.pressure, source.temperature);
    const double factor = area / std::sqrt(net_.gases.molar_mass(flows.source_fraction));
    own.supply = factor * d.value;
    own.supply_slope_source = factor * d.slope_upstream * (net_.source.pressure_per_mole * source.warmth);
    own.supply_slope_riser =
        factor * d.slope_downstream * (riser.pressure_per_mole * flows.thermal[at(r)].warmth);
}

Thermal Dynamics::with_transport(Thermal thermal) const {
    if (!net_.any_mixing) return thermal;
    thermal.diffusivity = gas::diffusivity_times_pressure(thermal.temperature);
    thermal.viscosity = gas::viscosity(net_.gases.product, thermal.temperature);
    return thermal;
}

MixingGas Dynamics::mixing_gas(double pressure, const Thermal& thermal) const {
    MixingGas gas;
    gas.density = std::max(pressure, 1.0) / (gas::gas_constant * thermal.temperature);
    gas.temperature = thermal.temperature;
    gas.diffusivity = thermal.diffusivity / std::max(pressure, 1.0);
    gas.viscosity = thermal.viscosity / gas.density;
    return gas;
}

void Dynamics::mix(int r, Flows& flows) const {
    const RiserNet& riser = net_.risers[at(r)];
    MixingBatch& batch = flows.mixing_batch[at(r)];
    for (std::size_t k = 0; k < riser.loops.size(); ++k)
        batch.set_flow(riser.count + static_cast<int>(k), flows.loop[at(r)][k]);
    batch.run(flows.fraction, !flows.within_step);
    for (int k = 1; k < riser.count; ++k) {
        if (flows.within_step) {
            flows.mixing[at(riser.first + k)] = batch.g(k);
            continue;
        }
        const Exchange e = batch.result(k);
        const std::size_t i = at(riser.first + k);
        flows.mixing[i] = e.g;
        flows.mixing_slope[i] = e.slope;
        flows.mixing_skew[i] = e.skew;
    }
    for (std::size_t k = 0; k < riser.loops.size(); ++k) {
        const Exchange e = batch.result(riser.count + static_cast<int>(k));
        flows.loop_mixing[at(r)][k] = e.g;
        flows.loop_mixing_slope[at(r)][k] = e.slope;
    }
}

/// Where pipes are resolved, gas flows from one cell to the next with what stands where they meet: along the
/// slope in the cell upstream, limited after van Leer so that nothing overshoots.
void Dynamics::lean_of(int r, Flows& flows) const {
    const RiserNet& riser = net_.risers[at(r)];
    const auto& z = flows.fraction;
    for (int i = riser.first + 1; i < riser.first + riser.count; ++i) {
        flows.lean[at(i)] = 0.0;
        const double flow = flows.link[at(i)], by_step = flows.inverse_step[at(i)];
        const bool inward = flow > 0.0;
        if (!flows.within_step) flows.face[at(i)] = {inward ? 1.0 : 0.0, inward ? 0.0 : 1.0};
        const int up = inward ? net_.parent[at(i)] : i, down = inward ? i : net_.parent[at(i)];
        // The link upstream of that: gas comes along it towards the cell upstream.
        const int link = inward ? up : net_.onward[at(i)];
        if (link < 0 || by_step == 0.0 || !(flows.link[at(link)] * flow > 0.0)) continue;
        const double by_step_before = flows.inverse_step[at(link)];
        if (by_step_before == 0.0) continue;  // where gas enters nothing is before it
        const int before = inward ? net_.parent[at(link)] : link;
        const double ahead = (z[at(down)] - z[at(up)]) * by_step;
        const double behind = (z[at(up)] - z[at(before)]) * by_step_before;
        if (!(ahead * behind > 0.0)) continue;
        const double share = behind / (ahead + behind);
        const double reach = inward ? flows.reach[at(i)] : 1.0 / by_step - flows.reach[at(i)];
        const double lean = 2.0 * share * reach * by_step;
        flows.lean[at(i)] = std::min(lean, 1.0);
        if (flows.within_step) continue;
        const bool bounded = lean >= 1.0;
        const double by_down = bounded ? 1.0 : lean * share;
        const double by_before =
            bounded ? 0.0 : -2.0 * (1.0 - share) * (1.0 - share) * reach * by_step_before;
        const double by_up = 1.0 - by_down - by_before;
        flows.face[at(i)] = {inward ? by_up : by_down, inward ? by_down : by_up, by_before, before};
    }
}

void Dynamics::species_of(int r, const Flows& flows, State& dxdt) const {
    const RiserNet& riser = net_.risers[at(r)];
    const auto& z = flows.fraction;
    for (int i = riser.first; i < riser.first + riser.count; ++i) {
        const double out = flows.out[at(i)];
        dxdt[layout_.air(i)] = -(out > 0.0 ? out * z[at(i)] : out);
    }
    dxdt[layout_.air(riser.first)] += flows.risers[at(r)].supply * flows.source_fraction;
    for (int i = riser.first + 1; i < riser.first + riser.count; ++i) {
        const int p = net_.parent[at(i)];
        const double flux =
            air_flux(flows.link[at(i)], flows.lean[at(i)], flows.mixing[at(i)], z[at(p)], z[at(i)]);
        dxdt[layout_.air(i)] += flux;
        dxdt[layout_.air(p)] -= flux;
    }
    for (std::size_t k = 0; k < riser.loops.size(); ++k) {
        const int a = riser.loops[k].first, b = riser.loops[k].second;
        const double flux =
            air_flux(flows.loop[at(r)][k], 0.0, flows.loop_mixing[at(r)][k], z[at(a)], z[at(b)]);
        dxdt[layout_.air(a)] -= flux;
        dxdt[layout_.air(b)] += flux;
    }
}

void Dynamics::totals_of(int r, const Flows& flows, State& dxdt) const {
    const RiserNet& riser = net_.risers[at(r)];
    double out = 0.0, out_air = 0.0, vented = 0.0, vented_air = 0.0;
    for (int i = riser.first; i < riser.first + riser.count; ++i) {
        const double flow = flows.out[at(i)];
        const double air = flow > 0.0 ? flow * flows.fraction[at(i)] : flow;
        out += flow;
        out_air += air;
        if (vent_area_[at(i)] > 0.0) {
            const double part = vent_area_[at(i)] / (vent_area_[at(i)] + net_.leak_area[at(i)]);
            vented += part * flow;
            vented_air += part * air;
        }
    }
    dxdt[layout_.total(r, Layout::vented)] = vented;
    dxdt[layout_.total(r, Layout::vented_air)] = vented_air;
    dxdt[layout_.total(r, Layout::leaked)] = out - vented;
    dxdt[layout_.total(r, Layout::leaked_air)] = out_air - vented_air;
}

}  // namespace oxfade::engine
