#include "engine/at.hpp"
#include "engine/switchboard.hpp"

namespace oxfade::engine {
bool Switchboard::seal_rules(State& x, double time) {
    // One at a time: each changes what the others see.
    const std::vector<SealMode> before = modes_.seals;
    if (!seals_->apply(x, time, flows_at(x), modes_)) return false;
    for (std::size_t s = 0; s < before.size(); ++s) {
        if (before[s].seal != modes_.seals[s].seal) remember({SwitchId::Kind::seal, static_cast<int>(s)});
    }
    dynamics_.set_modes(modes_);
    seals_->finish(scratch_flows_, x);
    flows_fresh_ = false;
    return true;
}

void Switchboard::guard_seal(const State& x, int s) {
    const SealMode mode = modes_.seals[at(s)];
    if (mode.seal == Seal::open) return;
    guards_.push_back({Guard::Kind::below, dynamics_.layout().water(s), seals_->opens_below(s)});
    if (mode.seal != Seal::closed) {
        guards_.push_back({Guard::Kind::ceases, s, 0.0});
        return;
    }
    for (const bool behind : {true, false}) {
        const Seals::Threshold threshold = seals_->threshold(s, behind, x, flows_at(x));
        guards_.push_back(
            {behind ? Guard::Kind::seal_behind : Guard::Kind::seal_before, s, threshold.strength});
        if (!threshold.at_threshold) continue;
        guards_.push_back({behind ? Guard::Kind::rising_behind : Guard::Kind::rising_before, s, 0.0});
    }
}

double Switchboard::seal_value(const Guard& guard, const Flows& flows) const {
    switch (guard.kind) {
        case Guard::Kind::seal_behind:
            return seals_->difference(guard.index, flows) - guard.threshold;
        case Guard::Kind::seal_before:
            return -seals_->difference(guard.index, flows) - guard.threshold;
        case Guard::Kind::rising_behind:
            return seals_->difference_rate(guard.index, flows) - Seals::least_rise;
        case Guard::Kind::rising_before:
            return -seals_->difference_rate(guard.index, flows) - Seals::least_rise;
        case Guard::Kind::ceases: {
            const double flow = flows.link[at(net_.water[at(guard.index)].node)];
            return modes_.seals[at(guard.index)].seal == Seal::behind ? -flow : flow;
        }
        default:
            return -1.0;
    }
}

}  // namespace oxfade::engine
