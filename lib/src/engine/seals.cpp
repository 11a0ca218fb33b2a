#include "engine/seals.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "engine/at.hpp"
#include "oxfade/flow/water_exchange.hpp"

namespace oxfade::engine {
namespace {

/// A threshold counts as reached within this share of the pressure.
constexpr double slack = 1e-10;

}  // namespace

Seals::Seals(const WetDynamics& dynamics)
    : dynamics_(dynamics),
      net_(dynamics.network()),
      log_(net_.water.size()),
      drained_(net_.risers.size()),
      carried_(net_.water.size(), false),
      chambers_(net_.vents.size()) {}

void Seals::begin(const State& x, Modes& modes) {
    for (int s = 0; s < static_cast<int>(net_.water.size()); ++s) {
        const bool closed = net_.water[at(s)].stand(dynamics_.water_volume(x, s)).closed;
        if (closed) close(s, 0.0, modes.seals[at(s)]);
    }
}

double Seals::difference(int spot, const Flows& flows) const {
    const int node = net_.water[at(spot)].node;
    const int behind = net_.zone_of[at(node)], before = net_.zone_of[at(net_.parent[at(node)])];
    return flows.water.pressure[at(before)] - flows.water.pressure[at(behind)];
}

double Seals::difference_rate(int spot, const Flows& flows) const {
    const int node = net_.water[at(spot)].node;
    const int behind = net_.zone_of[at(node)], before = net_.zone_of[at(net_.parent[at(node)])];
    return flows.water.pressure_rate[at(before)] - flows.water.pressure_rate[at(behind)];
}

double Seals::temperature(int spot) const { return net_.risers[at(net_.water[at(spot)].riser)].temperature; }

double Seals::moles_per_volume(int spot) const { return flow::water_moles_per_volume(temperature(spot)); }

double Seals::strength(int spot, bool behind, const State& x) const {
    const flow::DipWater stand = net_.water[at(spot)].stand(dynamics_.water_volume(x, spot));
    return flow::seal_strength(behind ? stand.rise_behind : stand.rise_before, temperature(spot));
}

Seals::Threshold Seals::threshold(int spot, bool behind, const State& x, const Flows& flows) const {
    Threshold out{behind, strength(spot, behind, x), false};
    const double difference_now = behind ? difference(spot, flows) : -difference(spot, flows);
    const double close = 2e-9 * net_.site_pressure;
    out.at_threshold = difference_now >= out.strength - close;
    if (out.at_threshold) out.strength = difference_now + close;  // a clear rise, not rounding
    return out;
}

double Seals::opens_below(int spot) const {
    const WaterSpot& given = net_.water[at(spot)];
    const double volume = given.trap ? WaterSpot::trace * given.water : flow::closing_volume(given.dip);
    return volume * (1.0 - 1e-9) * moles_per_volume(spot);
}

void Seals::close(int spot, double time, SealMode& mode) {
    mode = {Seal::closed, 0.0};
    log_[at(spot)].closed_since = time;
    carried_[at(spot)] = false;
}

void Seals::leave_closed(int spot, double time) {
    SpotLog& log = log_[at(spot)];
    if (log.closed_since >= 0.0) log.closed_time += time - log.closed_since;
    log.closed_since = -1.0;
}

double Seals::closed_time(int spot, double end) const {
    const SpotLog& log = log_[at(spot)];
    return log.closed_time + (log.closed_since >= 0.0 ? end - log.closed_since : 0.0);
}

bool Seals::apply(State& x, double time, const Flows& flows, Modes& modes) {
    for (int s = 0; s < static_cast<int>(net_.water.size()); ++s) {
        SealMode& mode = modes.seals[at(s)];
        const bool holds = net_.water[at(s)].stand(dynamics_.water_volume(x, s)).closed;
        if (!holds && mode.seal == Seal::open) continue;
        if (!holds) {
            leave_closed(s, time);
            mode = {Seal::open, 0.0};
            uneven_ = true;
            return true;
        }
        if (mode.seal == Seal::open) {
            close(s, time, mode);
            return true;
        }
        if (mode.seal == Seal::closed) {
            if (break_rule(s, x, time, flows, mode)) return true;
        } else if (refresh_rule(s, x, flows, time, mode) || carry(s, x, time, modes)) {
            return true;
        }
    }
    return false;
}

bool Seals::break_rule(int spot, const State& x, double time, const Flows& flows, SealMode& mode) {
    const int node = net_.water[at(spot)].node;
    const int before = net_.zone_of[at(net_.parent[at(node)])];
    const double now = difference(spot, flows), rate = difference_rate(spot, flows);
    const double close_to = slack * flows.water.pressure[at(before)];
    for (const bool behind : {true, false}) {
        const double sign = behind ? 1.0 : -1.0;
        if (sign * now < strength(spot, behind, x) - close_to || sign * rate <= least_rise) continue;
        leave_closed(spot, time);
        mode = {behind ? Seal::behind : Seal::before, now};
        SpotLog& log = log_[at(spot)];
        if (log.breaks++ == 0) log.first_break = time;
        return true;
    }
    return false;
}

/// While gas bubbles: reseals when the flow ceases; follows the water as that dries up.
bool Seals::refresh_rule(int spot, const State& x, const Flows& flows, double time, SealMode& mode) {
    const bool behind = mode.seal == Seal::behind;
    const double flow = flows.link[at(net_.water[at(spot)].node)];
    if (behind ? flow <= 0.0 : flow >= 0.0) {
        close(spot, time, mode);
        return true;
    }
    const double wanted = behind ? strength(spot, true, x) : -strength(spot, false, x);
    if (std::abs(wanted - mode.offset) <= 1.0 + 1e-3 * std::abs(wanted)) return false;
    mode.offset = wanted;
    uneven_ = true;
    return true;
}

/// The open vent with the largest hole that gas through a bubbling seal goes on to; -1 when there is none.
int Seals::vent_towards(int spot, const Modes& modes) const {
    const int node = net_.water[at(spot)].node;
    const RiserNet& riser = net_.risers[at(net_.water[at(spot)].riser)];
    const auto passes = [&](int i) {
        const int own = net_.spot_of[at(i)];
        return i != node && (own < 0 || modes.seals[at(own)].seal != Seal::closed);
    };
    // Nodes on the side gas goes to: behind, the tree below; before, all that hangs together with the parent.
    std::vector<int> root(at(riser.first + riser.count));
    for (int i = riser.first; i < riser.first + riser.count; ++i) {
        root[at(i)] = i > riser.first && passes(i) ? root[at(net_.parent[at(i)])] : i;
    }
    const bool behind = modes.seals[at(spot)].seal == Seal::behind;
    const int wanted = behind ? node : root[at(net_.parent[at(node)])];
    int found = -1;
    for (int v = riser.first_vent; v < riser.first_vent + riser.vent_count; ++v) {
        if (!modes.vents[at(v)].passes() || root[at(net_.vents[at(v)].node)] != wanted) continue;
        if (found < 0 || net_.vents[at(v)].area > net_.vents[at(found)].area) found = v;
    }
    return found;
}

/// Water that stands in the leg gas goes to when the seal breaks [mol].
double Seals::pushed_up(int spot, const State& x) const {
    const WaterSpot& given = net_.water[at(spot)];
    const double volume = dynamics_.water_volume(x, spot);
    const double per_volume = moles_per_volume(spot);
    if (!given.trap) return std::max(volume * per_volume - opens_below(spot), 0.0);
    const double bore = given.dip.bore;
    if (!(bore > 0.0)) return volume * per_volume;
    const double column =
        std::numbers::pi / 4.0 * bore * bore * given.copies * given.stand(volume).rise_behind;
    return std::min(volume, column) * per_volume;
}

bool Seals::carry(int spot, State& x, double time, Modes& modes) {
    if (carried_[at(spot)]) return false;
    const int v = vent_towards(spot, modes);
    if (v < 0) return false;
    carried_[at(spot)] = true;
    const VentSpot& vent = net_.vents[at(v)];
    Chamber& chamber = chambers_[at(v)];
    const double per_volume = moles_per_volume(spot);
    double moved = pushed_up(spot, x);
    const double room = vent.chamber * per_volume - chamber.water;
    if (vent.liquid_stop && moved > room) {
        moved = std::max(room, 0.0);
        modes.vents[at(v)].stopped = true;
        log_[at(spot)].stopped_vent = v;
        log_[at(spot)].stopped_at = time;
    }
    log_[at(spot)].carried += moved / per_volume;
    remove(spot, moved, x, vent.liquid_stop);
    if (vent.liquid_stop) {
        chamber.water += moved;
        chamber.spots.insert(spot);
    }
    return true;
}

/// Takes water out of a low point with its share of what is dissolved; what goes to a chamber is still there.
void Seals::remove(int spot, double moles, State& x, bool to_chamber) {
    const Layout& layout = dynamics_.layout();
    double& water = x[layout.water(spot)];
    if (!(water > 0.0)) return;
    const double share = std::min(moles / water, 1.0);
    Drained& out = drained_[at(net_.water[at(spot)].riser)];
    const auto take = [&](double& entry) {
        const double taken = share * entry;
        entry -= taken;
        return taken;
    };
    out.oxygen += take(x[layout.dissolved(spot, Layout::oxygen)]);
    out.nitrogen += take(x[layout.dissolved(spot, Layout::nitrogen)]);
    const double gone = take(water);
    if (!to_chamber) out.water += gone;
}

void Seals::drain(int spot, State& x, double time, Modes& modes) {
    log_[at(spot)].drained_at = time;
    remove(spot, x[dynamics_.layout().water(spot)], x, false);
    for (std::size_t v = 0; v < chambers_.size(); ++v) {
        if (chambers_[v].spots.count(spot) == 0) continue;
        drained_[at(net_.vents[v].riser)].water += chambers_[v].water;
        chambers_[v] = {};
        modes.vents[v].stopped = false;
    }
}

void Seals::flood(int r, State& x, double time, Modes& modes) {
    const Layout& layout = dynamics_.layout();
    const RiserNet& riser = net_.risers[at(r)];
    Drained& out = drained_[at(r)];
    for (int v = riser.first_vent; v < riser.first_vent + riser.vent_count; ++v) {
        out.water += chambers_[at(v)].water;
        chambers_[at(v)] = {};
        modes.vents[at(v)].stopped = false;
    }
    for (int i = riser.first; i < riser.first + riser.count; ++i) {
        out.water += x[layout.film(i)] + x[layout.trace(Layout::vapour, i)];
        out.oxygen += x[layout.trace(Layout::oxygen, i)];
        out.nitrogen += x[layout.trace(Layout::nitrogen, i)];
        x[layout.film(i)] = 0.0;
        for (const auto which : {Layout::oxygen, Layout::nitrogen, Layout::vapour})
            x[layout.trace(which, i)] = 0.0;
    }
    for (int s = 0; s < static_cast<int>(net_.water.size()); ++s) {
        if (net_.water[at(s)].riser != r) continue;
        leave_closed(s, time);
        const auto count = [&](double sign) {
            out.water += sign * x[layout.water(s)];
            out.oxygen += sign * x[layout.dissolved(s, Layout::oxygen)];
            out.nitrogen += sign * x[layout.dissolved(s, Layout::nitrogen)];
        };
        count(1.0);
        dynamics_.fill_spot(s, time, x);
        count(-1.0);
        modes.seals[at(s)] = {Seal::open, 0.0};
        if (net_.water[at(s)].stand(dynamics_.water_volume(x, s)).closed) close(s, time, modes.seals[at(s)]);
    }
}

double Seals::in_chambers() const {
    double sum = 0.0;
    for (const Chamber& chamber : chambers_) sum += chamber.water;
    return sum;
}

void Seals::finish(const Flows& flows, State& x) {
    if (uneven_) dynamics_.level(flows, x);
    uneven_ = false;
}

}  // namespace oxfade::engine
