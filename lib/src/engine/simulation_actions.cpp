// What is done to the plant on a date.
#include <algorithm>

#include "engine/assembly.hpp"
#include "engine/at.hpp"
#include "engine/simulation.hpp"

namespace oxfade::engine {
Snapshot Simulation::snapshot() const {
    return {time_, x_, clock_.reading(), clock_.made(net_.source), switches_.starts()};
}

/// Performs what is due, and closes the stretch of the run that ends with it.
void Simulation::act() {
    if (time_ > 0.0) agenda_.close(snapshot());
    while (const plant::Action* action = agenda_.take(time_)) perform(*action);
    agenda_.open(snapshot(), net_.risers.size());
}

void Simulation::perform(const plant::Action& action) {
    const auto named = std::find_if(net_.risers.begin(), net_.risers.end(),
                                    [&](const RiserNet& riser) { return riser.name == action.riser; });
    const auto r = static_cast<int>(named - net_.risers.begin());
    switch (action.deed) {
        case plant::Deed::drain:
            drain(r, action.what);
            break;
        case plant::Deed::trip:
            trip(r, time_ + action.duration);
            break;
        case plant::Deed::outage:
            switches_.stop_source();
            break;
        case plant::Deed::restore:
            switches_.restore_source(x_, time_);
            break;
        case plant::Deed::shut:
        case plant::Deed::open:
            close_valve(r, action.what, action.deed == plant::Deed::shut);
            break;
        case plant::Deed::set:
            change(action);
            break;
    }
}

void Simulation::drain(int r, const std::string& what) {
    for (int s = 0; s < static_cast<int>(net_.water.size()); ++s) {
        const WaterSpot& spot = net_.water[at(s)];
        if (spot.riser == r && (what.empty() || what == spot.name)) switches_.drain(s, x_, time_);
    }
}

void Simulation::close_valve(int r, const std::string& what, bool closed) {
    const RiserNet& riser = net_.risers[at(r)];
    const auto first = net_.vents.begin() + riser.first_vent, end = first + riser.vent_count;
    const auto vent = std::find_if(first, end, [&](const VentSpot& v) { return v.name == what; });
    if (vent != end) {
        switches_.close_vent(static_cast<int>(vent - net_.vents.begin()), closed);
    } else {
        switches_.close_supply(x_, r, closed, time_);
    }
}

void Simulation::change(const plant::Action& action) {
    clock_.bank(net_.source);
    plant::set_quantity(changeable_->plant, action.key, action.value);
    take_settings(changeable_->net,
                  build_network(changeable_->plant, pressures_of(options_), options_.refinement));
    switches_.review(x_, time_);
    pilot_.refresh();
}

/// The riser opens to the site: its gas is lost, water runs through it, and drained it holds the site's air
/// at the site's pressure. Takes no time; what is lost and taken in counts in the balance.
void Simulation::trip(int r, double ready) {
    const Layout& layout = dynamics_->layout();
    const RiserNet& riser = net_.risers[at(r)];
    Spill& spill = spilled_[at(r)];
    std::vector<double> now(at(layout.vessels), 0.0);  // of each vessel
    for (int i = riser.first; i < riser.first + riser.count; ++i) {
        const double moles =
            net_.site_pressure / (net_.node_pressure_per_mole[at(i)] * net_.warmth(r, time_));
        spill.gas += layout.moles(x_, i) - moles;
        if (layout.wet()) {
            for (const auto which : {Layout::oxygen, Layout::nitrogen, Layout::vapour})
                spill.gas -= x_[layout.trace(which, i)];  // told with the water
        }
        spill.air += x_[layout.air(i)] - moles;
        x_[layout.air(i)] = moles;
        now[at(layout.gas(i) - 2)] += moles;
    }
    for (int i = riser.first; i < riser.first + riser.count; ++i)
        x_[layout.gas(i)] = now[at(layout.gas(i) - 2)];
    switches_.trip(r, x_, time_, ready);
    history_.add_lost(r, spill.gas);
}

}  // namespace oxfade::engine
