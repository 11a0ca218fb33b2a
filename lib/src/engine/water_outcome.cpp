#include "engine/water_outcome.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "engine/at.hpp"
#include "oxfade/flow/corrosion.hpp"
#include "oxfade/flow/water_exchange.hpp"

namespace oxfade::engine {
namespace {

/// Change of a trace in the gas of a riser's nodes, or of all nodes [mol].
double trace_change(const Network& net, const Simulation& simulation, Layout::Trace which, int r) {
    const Layout& layout = simulation.dynamics().layout();
    const RiserNet& riser = net.risers[at(r)];
    double sum = 0.0;
    for (int i = riser.first; i < riser.first + riser.count; ++i) {
        sum += simulation.state()[layout.trace(which, i)] - simulation.at_start()[layout.trace(which, i)];
    }
    return sum;
}

double dew_point_of(const Network& net, const Simulation& simulation, int node) {
    const Layout& layout = simulation.dynamics().layout();
    const State& x = simulation.state();
    const double vapour = std::max(x[layout.trace(Layout::vapour, node)], 0.0);
    return flow::dew_or_frost_point(vapour * net.node_pressure_per_mole[at(node)] *
                                    net.warmth(net.riser_of[at(node)], net.duration));
}

std::optional<outcome::OxygenLimit> oxygen_limit(const Network& net, const ExposureMeter::Water& lay,
                                                 const WaterSpot& spot) {
    if (!(lay.time > 0.0)) return std::nullopt;
    // It lay there when it was warmer, whatever the mean.
    const double temperature = std::max(net.risers[at(spot.riser)].temperature, flow::freezing_point);
    const auto depth_rate = [](double flux) {
        return flow::penetration_rate_from_mass(flow::iron_loss(flux), flow::iron_density);
    };
    outcome::OxygenLimit out;
    out.time = lay.time;
    out.concentration = lay.oxygen / lay.time;
    out.flux = flow::oxygen_flux_limit(flow::still_water_coefficient, out.concentration);
    out.current_density = flow::oxygen_current(out.flux);
    out.penetration = depth_rate(out.flux);
    const double on_air = flow::WaterProperties(temperature).henry[0] * lay.oxygen_pressure / lay.time;
    out.penetration_on_air = depth_rate(flow::oxygen_flux_limit(flow::still_water_coefficient, on_air));
    return out;
}

outcome::LowPointOutcome low_point(const Network& net, const Simulation& simulation, int s) {
    const auto& wet = dynamic_cast<const WetDynamics&>(simulation.dynamics());
    const Seals& seals = *simulation.switches().seals();
    const SpotLog& log = seals.log()[at(s)];
    const WaterSpot& spot = net.water[at(s)];
    outcome::LowPointOutcome out;
    out.name = spot.name;
    out.water_at_start = spot.water;
    out.water_at_end = wet.water_volume(simulation.state(), s);
    const SealMode mode = wet.modes().seals[at(s)];
    out.closed_at_end = mode.seal == Seal::closed;
    out.bubbling_at_end = mode.seal == Seal::behind || mode.seal == Seal::before;
    out.closed_time = seals.closed_time(s, net.duration);
    out.breaks = log.breaks;
    if (log.first_break >= 0.0) out.first_break = log.first_break;
    if (log.drained_at >= 0.0) out.drained_at = log.drained_at;
    out.carried = log.carried;
    if (log.stopped_vent >= 0) {
        out.stopped_vent = net.vents[at(log.stopped_vent)].name;
        out.stopped_at = log.stopped_at;
        out.stopped_at_end = wet.modes().vents[at(log.stopped_vent)].stopped;
    }
    out.oxygen_limit = oxygen_limit(net, simulation.exposure().water(s), spot);
    const int behind = net.zone_of[at(spot.node)];
    out.pressure_behind = simulation.state()[2 + behind] * wet.zone_pressure_per_mole(behind) *
                          net.warmth(spot.riser, net.duration);
    return out;
}

}  // namespace

WaterAmounts water_amounts(const Network& net, const Simulation& simulation) {
    WaterAmounts out;
    const Layout& layout = simulation.dynamics().layout();
    const State &x = simulation.state(), &start = simulation.at_start();
    const Seals& seals = *simulation.switches().seals();
    double water = seals.in_chambers(), all = 0.0;
    const auto change = [&](int entry) { return x[entry] - start[entry]; };
    for (int r = 0; r < layout.risers; ++r) {
        for (const auto which : {Layout::oxygen, Layout::nitrogen, Layout::vapour}) {
            const double stored = trace_change(net, simulation, which, r);
            const double gone = x[layout.gone(r, which)];
            out.stored_all += stored;
            out.gone_all += gone;
            if (which == Layout::vapour) {
                water += stored + gone;
                continue;
            }
            const auto species =
                at(static_cast<int>(which == Layout::oxygen ? gas::Species::oxygen : gas::Species::nitrogen));
            out.stored[species] += stored;
            out.gone[species] += gone;
        }
        const Drained& drained = seals.drained()[at(r)];
        out.gone[at(static_cast<int>(gas::Species::oxygen))] += drained.oxygen;
        out.gone[at(static_cast<int>(gas::Species::nitrogen))] += drained.nitrogen;
        water += drained.water;
    }
    for (int i = 0; i < layout.nodes; ++i) water += change(layout.film(i));
    for (int s = 0; s < layout.spots; ++s) {
        water += change(layout.water(s));
        all += start[layout.water(s)];
        out.stored[at(static_cast<int>(gas::Species::oxygen))] += change(layout.dissolved(s, Layout::oxygen));
        out.stored[at(static_cast<int>(gas::Species::nitrogen))] +=
            change(layout.dissolved(s, Layout::nitrogen));
    }
    out.residual = std::abs(water) / std::max(all, 1e-300);
    return out;
}

void add_water(const Network& net, const Simulation& simulation, int r, outcome::RiserOutcome& out) {
    const Layout& layout = simulation.dynamics().layout();
    for (const auto which : {Layout::oxygen, Layout::nitrogen, Layout::vapour}) {
        out.supplied -= trace_change(net, simulation, which, r) + simulation.state()[layout.gone(r, which)];
    }
    const RiserNet& riser = net.risers[at(r)];
    double wettest = 0.0;
    for (int i = riser.first; i < riser.first + riser.count; ++i) {
        wettest = std::max(wettest, dew_point_of(net, simulation, i));
    }
    out.dew_point = wettest;
    out.condensed = simulation.most_film(r) / flow::water_moles_per_volume(riser.temperature);
    for (int s = 0; s < layout.spots; ++s) {
        if (net.water[at(s)].riser == r) out.low_points.push_back(low_point(net, simulation, s));
    }
}

}  // namespace oxfade::engine
