#include "engine/switchboard.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "engine/at.hpp"
#include "engine/composition.hpp"
#include "engine/thresholds.hpp"
#include "oxfade/error.hpp"

namespace oxfade::engine {
namespace {

/// Above the set pressure by more than this fraction a regulator shuts; below that it can hold where it
/// stands.
constexpr double hold_band = 1e-7;
/// Breathing so weak that a riser could live on it for ever counts as none [1/s].
constexpr double breathless = 1e-12;

}  // namespace

Switchboard::Switchboard(Dynamics& dynamics)
    : dynamics_(dynamics),
      net_(dynamics.network()),
      modes_(dynamics.modes()),
      log_(net_.risers.size()),
      fills_(net_.risers.size()),
      ready_(net_.risers.size(), 0.0),
      scratch_flows_(dynamics.make_flows()),
      scratch_rates_(dynamics.layout().size()) {
    for (int r = 0; r < static_cast<int>(net_.risers.size()); ++r) queue_.push_back(r);
    if (const auto* wet = dynamic_cast<const WetDynamics*>(&dynamics)) seals_.emplace(*wet);
}

void Switchboard::begin(State& x) {
    if (net_.source.kind != SourceKind::cylinders) {
        modes_.machine = machine_at_start(net_.source, x[Layout::source] * net_.source_warmth(0.0));
        starts_ = modes_.machine == Machine::off ? 0 : 1;
    }
    if (seals_) seals_->begin(x, modes_);
    dynamics_.set_modes(modes_);
    settle(x, 0.0);
}

bool Switchboard::settle(State& x, double time) {
    time_ = time;
    dynamics_.warm(time, scratch_flows_);
    if (touched_ || dynamics_.modes().machine != modes_.machine) dynamics_.set_modes(modes_);
    touched_ = false;
    const int limit = 16 + 8 * static_cast<int>(net_.risers.size() + net_.vents.size() + net_.water.size());
    bool any = false;
    for (int pass = 0;; ++pass) {
        flows_fresh_ = false;
        bool changed = machine_rules(x, time);
        changed = stage_rules(x, time) || changed;
        changed = vent_rules(x, time) || changed;
        if (changed) dynamics_.set_modes(modes_);  // the supplies below see the new flows
        flows_fresh_ = false;
        if (seals_) changed = seal_rules(x, time) || changed;
        bool supplies = false;
        for (int r = 0; r < static_cast<int>(net_.risers.size()); ++r)
            supplies = supply_rules(x, r) || supplies;
        if (supplies) dynamics_.set_modes(modes_);
        if (!changed && !supplies) break;
        any = true;
        if (pass > limit) {
            throw ComputationError(fmt::format("switches flip for ever without time passing: {}", last_two()),
                                   time, "", "", "");
        }
    }
    rebuild_guards(x);
    return any;
}

bool Switchboard::machine_rules(const State& x, double time) {
    if (stopped_) return false;
    const double moles = x[Layout::source] * scratch_flows_.source_thermal.warmth;
    Machine next = modes_.machine;
    switch (modes_.machine) {
        case Machine::off:
            if (fallen_to(moles, net_.source.start)) {
                next = net_.source.kind == SourceKind::compressor ? Machine::air : Machine::nitrogen;
            }
            break;
        case Machine::nitrogen:
            if (reached(moles, net_.source.stop)) {
                next = Machine::off;
            } else if (fallen_to(moles, net_.source.air_below)) {
                next = Machine::air;
            }
            break;
        case Machine::air:
            if (reached(moles, net_.source.stop)) next = Machine::off;
            break;
        case Machine::delivering:
            if (moles <= slack * net_.source.initial) next = Machine::empty;
            break;
        case Machine::empty:
            break;
    }
    if (next == modes_.machine) return false;
    set_machine(next, time);
    return true;
}

void Switchboard::set_machine(Machine next, double time) {
    if (modes_.machine == Machine::off) ++starts_;
    if (next == Machine::empty) empty_at_ = time;
    modes_.machine = next;
    remember({SwitchId::Kind::source, 0});
}

bool Switchboard::waits_for_target(int r) const {
    const RiserNet& riser = net_.risers[at(r)];
    for (int v = riser.first_vent; v < riser.first_vent + riser.vent_count; ++v) {
        const bool waits = std::holds_alternative<plant::OpenUntilTarget>(net_.vents[at(v)].policy);
        if (waits && !modes_.vents[at(v)].retired) return true;
    }
    return false;
}

/// Opens the fill of the first riser in the queue that is ready, if it is time.
bool Switchboard::start_a_fill(double time) {
    if (time < next_fill_) return false;
    const auto next = std::find_if(queue_.begin(), queue_.end(), [&](int r) {
        return time >= ready_[at(r)] && !modes_.risers[at(r)].supply_closed;
    });
    if (next == queue_.end()) return false;
    filling_ = *next;
    queue_.erase(next);
    modes_.risers[at(filling_)].stage = Stage::filling;  // through the fill passage alone: the supply waits
    fills_[at(filling_)].push_back({time, -1.0});
    if (log_[at(filling_)].fill_start < 0.0) log_[at(filling_)].fill_start = time;
    remember({SwitchId::Kind::stage, filling_});
    return true;
}

bool Switchboard::stage_rules(const State& x, double time) {
    if (filling_ < 0) return start_a_fill(time);
    const int r = filling_;
    RiserMode& mode = modes_.risers[at(r)];
    if (!reached(x[dynamics_.layout().riser(r)], now(r, net_.risers[at(r)].set))) return false;
    mode.stage = Stage::in_service;
    mode.supply = supply_after_fill(x, r);
    fills_[at(r)].back().fill_end = time;
    if (log_[at(r)].fill_end < 0.0) log_[at(r)].fill_end = time;
    next_fill_ = time + net_.risers[at(r)].rest;
    filling_ = -1;
    remember({SwitchId::Kind::stage, r});
    return true;
}

/// When the riser's present service began [s]; negative while it is not in service.
double Switchboard::filled_at(int r) const { return in_service(r) ? fills_[at(r)].back().fill_end : -1.0; }

SupplyMode Switchboard::supply_after_fill(const State& x, int r) {
    const RiserNet& riser = net_.risers[at(r)];
    if (modes_.risers[at(r)].supply_closed) return SupplyMode::shut;
    const double moles = x[dynamics_.layout().riser(r)];
    if (riser.has_switch) return fallen_to(moles, now(r, riser.low)) ? SupplyMode::wide : SupplyMode::shut;
    return moles > now(r, riser.set) * (1.0 + hold_band) ? SupplyMode::shut : SupplyMode::wide;
}

const Flows& Switchboard::flows_at(const State& x) {
    if (!flows_fresh_) {
        dynamics_.rates(time_, x, scratch_rates_, scratch_flows_);
        flows_fresh_ = true;
    }
    return scratch_flows_;
}

double Switchboard::asked(const State& x, int r) { return flows_at(x).risers[at(r)].asked; }

/// What counts as nothing asked for where temperatures move [mol/s].
double Switchboard::breath_of(const State& x, int r) {
    return breathless * flows_at(x).risers[at(r)].together;
}

bool Switchboard::supply_rules(const State& x, int r) {
    RiserMode& mode = modes_.risers[at(r)];
    if (mode.stage != Stage::in_service || mode.supply_closed) return false;
    const RiserNet& riser = net_.risers[at(r)];
    if (!riser.has_switch) return regulator_rules(x, r);
    const double moles = x[dynamics_.layout().riser(r)];
    SupplyMode next = mode.supply;
    if (mode.supply == SupplyMode::wide && reached(moles, now(r, riser.high))) next = SupplyMode::shut;
    if (mode.supply == SupplyMode::shut && fallen_to(moles, now(r, riser.low))) next = SupplyMode::wide;
    if (next == mode.supply) return false;
    mode.supply = next;
    remember({SwitchId::Kind::supply, r});
    return true;
}

bool Switchboard::regulator_rules(const State& x, int r) {
    RiserMode& mode = modes_.risers[at(r)];
    const RiserNet& riser = net_.risers[at(r)];
    const double moles = x[dynamics_.layout().riser(r)], set = now(r, riser.set);
    const double breath = net_.moving ? breath_of(x, r) : 0.0;
    SupplyMode next = mode.supply;
    switch (mode.supply) {
        case SupplyMode::shut:
            if (!fallen_to(moles, set) || (net_.moving && asked(x, r) <= breath)) break;
            // Not by way of wide open, where it can hold: that might break a seal.
            next = net_.moving && reached(moles, set) && recovery(capacity(x, r), asked(x, r)) > 0.0
                       ? SupplyMode::hold
                       : SupplyMode::wide;
            break;
        case SupplyMode::wide:
            if (!reached(moles, set)) break;
            if (net_.moving && asked(x, r) <= breath) next = SupplyMode::shut;
            if (recovery(capacity(x, r), asked(x, r)) > 0.0 && next == mode.supply) next = SupplyMode::hold;
            break;
        case SupplyMode::hold:
            if (capacity(x, r) <= asked(x, r) * (1.0 + slack)) next = SupplyMode::wide;
            // Gas may have moved on past a low point.
            if (seals_ && moles < set * (1.0 - hold_band)) next = SupplyMode::wide;
            if (net_.moving && asked(x, r) < -breath) next = SupplyMode::shut;
            break;
    }
    if (next == mode.supply) return false;
    mode.supply = next;
    remember({SwitchId::Kind::supply, r});
    return true;
}

bool Switchboard::vent_rules(const State& x, double time) {
    bool any = false;
    for (std::size_t v = 0; v < net_.vents.size(); ++v) {
        VentMode& mode = modes_.vents[v];
        if (mode.retired || !in_service(net_.vents[v].riser)) continue;
        const bool open = vent_should_open(x, time, v);
        if (open == mode.open) continue;
        mode.open = open;
        remember({SwitchId::Kind::vent, static_cast<int>(v)});
        any = true;
    }
    return any;
}

bool Switchboard::vent_should_open(const State& x, double time, std::size_t v) {
    const VentSpot& vent = net_.vents[v];
    VentMode& mode = modes_.vents[v];
    const double begin = filled_at(vent.riser);
    const double moles =
        x[dynamics_.layout().riser(vent.riser)] * scratch_flows_.thermal[at(vent.riser)].warmth;
    struct Visitor {
        double time, begin, moles, margin;
        VentMode& mode;
        bool operator()(const plant::OpenAlways&) const { return true; }
        bool operator()(const plant::OpenUntil& policy) const {
            mode.retired = time >= policy.time;
            return !mode.retired;
        }
        bool operator()(const plant::OpenUntilTarget&) const {
            mode.retired = margin >= 0.0;
            return !mode.retired;
        }
        bool operator()(const plant::OpenTimed& policy) const {
            // Dates are begin + k every and that plus duration, met exactly by the steps.
            const double k = std::floor((time - begin) / policy.every * (1.0 + 1e-14) + 1e-9);
            return time < begin + k * policy.every + policy.duration * (1.0 - 1e-12);
        }
        bool operator()(const plant::OpenBetween& policy) const {
            return mode.open ? !fallen_to(moles, policy.low) : reached(moles, policy.high);
        }
    };
    const bool asks_target = std::holds_alternative<plant::OpenUntilTarget>(vent.policy);
    const double margin = asks_target ? target_margin(x, vent.riser) : -1.0;
    return std::visit(Visitor{time, begin, moles, margin, mode}, vent.policy);
}

double Switchboard::next_date() const {
    constexpr double never = std::numeric_limits<double>::infinity();
    double next = never;
    if (filling_ < 0) {
        for (const int r : queue_) {
            if (!modes_.risers[at(r)].supply_closed)
                next = std::min(next, std::max(next_fill_, ready_[at(r)]));
        }
    }
    for (std::size_t v = 0; v < net_.vents.size(); ++v) {
        const double begin = filled_at(net_.vents[v].riser);
        if (begin < 0.0 || modes_.vents[v].retired) continue;
        if (const auto* until = std::get_if<plant::OpenUntil>(&net_.vents[v].policy)) {
            next = std::min(next, until->time);
        } else if (const auto* timed = std::get_if<plant::OpenTimed>(&net_.vents[v].policy)) {
            const double k = std::floor((time_ - begin) / timed->every * (1.0 + 1e-14) + 1e-9);
            const double opened = begin + k * timed->every;
            next = std::min(next, modes_.vents[v].open ? opened + timed->duration : opened + timed->every);
        }
    }
    return next;
}

double Switchboard::target_margin(const State& x, int r) const {
    const RiserNet& riser = net_.risers[at(r)];
    const Layout& layout = dynamics_.layout();
    const auto of = [&](int i) {
        return layout.wet() ? engine::target_margin(net_, layout, x, i)
                            : net_.target_air * layout.moles(x, i) - x[layout.air(i)];
    };
    double least = std::numeric_limits<double>::infinity(), sum = 0.0;
    if (net_.target_at == plant::TargetAt::readings) {
        for (const RiserNet::Reading& reading : riser.readings) least = std::min(least, of(reading.node));
        return least;
    }
    for (int i = riser.first; i < riser.first + riser.count; ++i) {
        const double own = of(i);
        least = std::min(least, own);
        sum += own;
    }
    return net_.target_at == plant::TargetAt::average ? sum : least;
}

void Switchboard::remember(SwitchId id) {
    last_[0] = last_[1];
    last_[1] = id;
    ++changes_;
}

std::string Switchboard::name(SwitchId id) const {
    switch (id.kind) {
        case SwitchId::Kind::none:
            return "none";
        case SwitchId::Kind::source:
            return "the source";
        case SwitchId::Kind::stage:
            return fmt::format("the fill of riser '{}'", net_.risers[at(id.index)].name);
        case SwitchId::Kind::supply:
            return fmt::format("the supply of riser '{}'", net_.risers[at(id.index)].name);
        case SwitchId::Kind::vent:
            return fmt::format("vent '{}'", net_.vents[at(id.index)].name);
        case SwitchId::Kind::seal:
            return fmt::format("the water at '{}'", net_.water[at(id.index)].name);
    }
    return "?";
}

std::string Switchboard::last_two() const {
    const std::string a = name(last_[0]), b = name(last_[1]);
    return a == b ? b + " (on and off)" : a + " and " + b;
}

}  // namespace oxfade::engine
