// What the switchboard lies in wait for: the moments at which a rule will hold that does not hold yet.
#include <algorithm>
#include <cmath>

#include "engine/at.hpp"
#include "engine/switchboard.hpp"
#include "engine/thresholds.hpp"

namespace oxfade::engine {
void Switchboard::rebuild_guards(const State& x) {
    guards_.clear();
    const SourceNet& source = net_.source;
    if (!stopped_) guard_source(source);
    for (int r = 0; r < static_cast<int>(net_.risers.size()); ++r) guard_supply(x, r);
    for (std::size_t v = 0; v < net_.vents.size(); ++v) guard_vent(v);
    for (int s = 0; s < static_cast<int>(net_.water.size()); ++s) guard_seal(x, s);
}

void Switchboard::guard_source(const SourceNet& source) {
    switch (modes_.machine) {
        case Machine::off:
            guards_.push_back({Guard::Kind::below, Layout::source, source.start});
            break;
        case Machine::nitrogen:
            guards_.push_back({Guard::Kind::above, Layout::source, source.stop});
            guards_.push_back({Guard::Kind::below, Layout::source, source.air_below});
            break;
        case Machine::air:
            guards_.push_back({Guard::Kind::above, Layout::source, source.stop});
            break;
        case Machine::delivering:
            guards_.push_back({Guard::Kind::below, Layout::source, 0.0});
            break;
        case Machine::empty:
            break;
    }
}

void Switchboard::guard_supply(const State& x, int r) {
    const RiserNet& riser = net_.risers[at(r)];
    const RiserMode mode = modes_.risers[at(r)];
    const int entry = dynamics_.layout().riser(r);
    const auto above = [&](double threshold) {
        guards_.push_back({Guard::Kind::above, entry, threshold, r});
    };
    const auto below = [&](double threshold) {
        guards_.push_back({Guard::Kind::below, entry, threshold, r});
    };
    if (mode.stage == Stage::filling) above(riser.set);
    if (mode.stage != Stage::in_service || mode.supply_closed) return;
    if (riser.has_switch) {
        if (mode.supply == SupplyMode::wide) above(riser.high);
        if (mode.supply == SupplyMode::shut) below(riser.low);
        return;
    }
    switch (mode.supply) {
        case SupplyMode::shut:
            if (net_.moving && fallen_to(x[entry], now(r, riser.set)))
                guards_.push_back({Guard::Kind::draw, r, breath_of(x, r), r});
            below(riser.set);
            break;
        case SupplyMode::hold:
            guards_.push_back({Guard::Kind::sag, r, 0.0, r});
            if (net_.moving) guards_.push_back({Guard::Kind::ease, r, breath_of(x, r), r});
            break;
        case SupplyMode::wide:
            if (reached(x[entry], now(r, riser.set))) guards_.push_back({Guard::Kind::recover, r, 0.0, r});
            above(riser.set);
            break;
    }
}

void Switchboard::guard_vent(std::size_t v) {
    const VentSpot& vent = net_.vents[v];
    const VentMode mode = modes_.vents[v];
    if (mode.retired || !in_service(vent.riser)) return;
    const int entry = dynamics_.layout().riser(vent.riser);
    if (const auto* between = std::get_if<plant::OpenBetween>(&vent.policy)) {
        guards_.push_back(mode.open ? Guard{Guard::Kind::below, entry, between->low, vent.riser}
                                    : Guard{Guard::Kind::above, entry, between->high, vent.riser});
    } else if (std::holds_alternative<plant::OpenUntilTarget>(vent.policy)) {
        guards_.push_back({Guard::Kind::target, vent.riser, 0.0, vent.riser});
    }
}

double Switchboard::guard_value(const Guard& guard, const State& x, const Flows& flows) const {
    switch (guard.kind) {
        case Guard::Kind::above:
            return x[guard.index] - threshold_at(guard, flows).moles;
        case Guard::Kind::below:
            return threshold_at(guard, flows).moles - x[guard.index];
        case Guard::Kind::sag:
            return flows.risers[at(guard.index)].asked - dynamics_.supply_capacity(x, guard.index, flows);
        case Guard::Kind::recover:
            return recovery(dynamics_.supply_capacity(x, guard.index, flows),
                            flows.risers[at(guard.index)].asked);
        case Guard::Kind::ease:
            return -flows.risers[at(guard.index)].asked - 2.0 * guard.threshold;
        case Guard::Kind::draw:
            return flows.risers[at(guard.index)].asked - 2.0 * guard.threshold;
        case Guard::Kind::target:
            return target_margin(x, guard.index);
        default:
            return seal_value(guard, flows);
    }
}

double Switchboard::guard_slope(const Guard& guard, const State& dxdt, const Flows& flows) {
    if (guard.kind == Guard::Kind::above) return dxdt[guard.index] - threshold_at(guard, flows).rate;
    if (guard.kind == Guard::Kind::below) return threshold_at(guard, flows).rate - dxdt[guard.index];
    return 0.0;
}

Machine machine_at_start(const SourceNet& source, double moles) {
    if (moles > source.start) return Machine::off;
    const bool air = source.kind == SourceKind::compressor || moles < source.air_below;
    return air ? Machine::air : Machine::nitrogen;
}

Threshold threshold_at(const Guard& guard, const Flows& flows) {
    const Thermal& thermal = guard.riser < 0 ? flows.source_thermal : flows.thermal[at(guard.riser)];
    const double moles = guard.threshold / thermal.warmth;
    return {moles, moles * thermal.cooling};
}

}  // namespace oxfade::engine
