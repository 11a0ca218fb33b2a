// What is done by hand to source, risers and valves.
#include <algorithm>

#include "engine/at.hpp"
#include "engine/switchboard.hpp"

namespace oxfade::engine {
/// Risers wait in file order, whatever the order in which they came to wait.
void Switchboard::queue(int r) {
    const auto place = std::lower_bound(queue_.begin(), queue_.end(), r);
    if (place == queue_.end() || *place != r) queue_.insert(place, r);
    if (filling_ == r) filling_ = -1;
    modes_.risers[at(r)].stage = Stage::waiting;
    modes_.risers[at(r)].supply = SupplyMode::shut;
    remember({SwitchId::Kind::stage, r});
    touched_ = true;
}

void Switchboard::trip(int r, State& x, double time, double ready) {
    queue(r);
    ready_[at(r)] = ready;
    const RiserNet& riser = net_.risers[at(r)];
    for (int v = riser.first_vent; v < riser.first_vent + riser.vent_count; ++v) {
        modes_.vents[at(v)].open = modes_.vents[at(v)].retired = false;
    }
    if (seals_) seals_->flood(r, x, time, modes_);
}

/// The water goes at once; that gas passes then is for the rules to find.
void Switchboard::drain(int spot, State& x, double time) {
    seals_->drain(spot, x, time, modes_);
    remember({SwitchId::Kind::seal, spot});
    touched_ = true;
}

void Switchboard::stop_source() {
    stopped_ = true;
    if (modes_.machine != Machine::empty) modes_.machine = Machine::off;
    remember({SwitchId::Kind::source, 0});
}

void Switchboard::restore_source(const State& x, double time) {
    stopped_ = false;
    remember({SwitchId::Kind::source, 0});
    if (net_.source.kind == SourceKind::cylinders) {
        if (modes_.machine != Machine::empty) modes_.machine = Machine::delivering;
        return;
    }
    const double moles = x[Layout::source] * net_.source_warmth(time);
    if (const Machine next = machine_at_start(net_.source, moles); next != Machine::off)
        set_machine(next, time);
}

void Switchboard::close_vent(int v, bool closed) {
    modes_.vents[at(v)].closed = closed;
    remember({SwitchId::Kind::vent, v});
    touched_ = true;
}

/// A fill under way stops, and goes on when the valve is opened again and no other riser is being filled.
void Switchboard::close_supply(const State& x, int r, bool closed, double time) {
    RiserMode& mode = modes_.risers[at(r)];
    mode.supply_closed = closed;
    if (closed && mode.stage == Stage::filling) queue(r);
    dynamics_.warm(time, scratch_flows_);
    if (mode.stage == Stage::in_service) mode.supply = supply_after_fill(x, r);
    remember({SwitchId::Kind::supply, r});
    touched_ = true;
}

void Switchboard::review(const State& x, double time) {
    dynamics_.warm(time, scratch_flows_);
    for (int r = 0; r < static_cast<int>(net_.risers.size()); ++r) {
        // A pressure switch stays as it is between its thresholds.
        if (in_service(r) && !net_.risers[at(r)].has_switch)
            modes_.risers[at(r)].supply = supply_after_fill(x, r);
    }
    for (std::size_t v = 0; v < net_.vents.size(); ++v) {
        // Its date may have moved: whether it has passed is looked at anew.
        if (std::holds_alternative<plant::OpenUntil>(net_.vents[v].policy)) modes_.vents[v].retired = false;
    }
    touched_ = true;
}

}  // namespace oxfade::engine
