#include <algorithm>
#include <cmath>

#include "engine/at.hpp"
#include "engine/wet_dynamics.hpp"

namespace oxfade::engine {

/// Gas that each zone of a riser lacks for its pressure to fit those it moves together with [mol].
std::vector<double> WetDynamics::missing_gas(const Flows& flows, const State& x, int r) const {
    const Network& net = network();
    std::vector<double> offset(at(net.zones), 0.0), total(at(net.zones), 0.0), missing(at(net.zones), 0.0);
    const RiserNet& riser = net.risers[at(r)];
    const double warmth = flows.thermal[at(r)].warmth;
    const auto per_mole = [&](int z) { return zone_pressure_per_mole(z) * warmth; };
    for (int i = riser.first + 1; i < riser.first + riser.count; ++i) {
        const int spot = net.spot_of[at(i)];
        if (spot < 0 || !joined(i)) continue;
        const int before = net.zone_of[at(net.parent[at(i)])];
        offset[at(net.zone_of[at(i)])] = offset[at(before)] - modes().seals[at(spot)].offset;
    }
    for (int z = zone_begin(r); z < zone_end(r); ++z) {
        total[at(group(z))] += x[2 + z] - offset[at(z)] / per_mole(z);
    }
    for (int z = zone_begin(r); z < zone_end(r); ++z) {
        const double share = zone_volume_[at(z)] / group_volume(group(z));
        missing[at(z)] = share * total[at(group(z))] + offset[at(z)] / per_mole(z) - x[2 + z];
    }
    return missing;
}

void WetDynamics::level(const Flows& flows, State& x) const {
    for (int r = 0; r < layout().risers; ++r) {
        const RiserNet& riser = network().risers[at(r)];
        const std::vector<double> missing = missing_gas(flows, x, r);
        bool even = true;
        for (int z = zone_begin(r); z < zone_end(r); ++z) {
            even = even && std::abs(missing[at(z)]) <= 1e-9 * std::abs(x[2 + z]);
        }
        if (even) continue;
        std::vector<double> need(at(layout().nodes), 0.0), link(at(layout().nodes), 0.0);
        for (int i = riser.first; i < riser.first + riser.count; ++i) {
            need[at(i)] = layout().part(i) * missing[at(network().zone_of[at(i)])];
        }
        sweep(r, need, link);
        blow(r, link, missing, x);
    }
}

void WetDynamics::blow(int r, const std::vector<double>& link, const std::vector<double>& missing,
                       State& x) const {
    const RiserNet& riser = network().risers[at(r)];
    double fastest = 0.0;
    for (int i = riser.first + 1; i < riser.first + riser.count; ++i) {
        const int from = link[at(i)] > 0.0 ? network().parent[at(i)] : i;
        fastest = std::max(fastest, std::abs(link[at(i)]) / std::max(layout().moles(x, from), least_moles));
    }
    constexpr double most_at_once = 0.1;  // of a node's gas
    const int steps = 1 + static_cast<int>(std::min(fastest / most_at_once, 1e4));
    const std::array<int, 4> first{layout().air(0), layout().trace(Layout::oxygen, 0),
                                   layout().trace(Layout::nitrogen, 0), layout().trace(Layout::vapour, 0)};
    for (int step = 0; step < steps; ++step) {
        State moved = x;
        for (int i = riser.first + 1; i < riser.first + riser.count; ++i) {
            const double amount = link[at(i)] / steps;
            const int p = network().parent[at(i)], from = amount > 0.0 ? p : i, to = amount > 0.0 ? i : p;
            const double share = std::abs(amount) / std::max(layout().moles(x, from), least_moles);
            for (const int begin : first) {
                moved[begin + from] -= share * x[begin + from];
                moved[begin + to] += share * x[begin + from];
            }
        }
        for (int z = zone_begin(r); z < zone_end(r); ++z) moved[2 + z] += missing[at(z)] / steps;
        x = moved;
    }
}

}  // namespace oxfade::engine
