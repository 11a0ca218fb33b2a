#include <algorithm>
#include <cmath>

#include "engine/at.hpp"
#include "engine/cruise_pilot.hpp"
#include "engine/lanes/cruise_limits.hpp"
#include "oxfade/flow/orifice.hpp"

/// What the pilot has to know of the source: whether it keeps all regulators holding, and what air is in it.
namespace oxfade::engine {

void CruisePilot::refresh() {
    if (!possible_) return;
    capacity_start_.clear();
    capacity_air_below_.clear();
    mean_source_ = (net_.source.stop - net_.source.start) / std::log(net_.source.stop / net_.source.start);
    for (int r = 0; r < static_cast<int>(net_.risers.size()); ++r) {
        capacity_start_.push_back(capacity(r, net_.source.start));
        capacity_air_below_.push_back(capacity(r, net_.source.air_below));
    }
}

/// What a riser's supply orifice passes at least, whatever the gas, with so much in the receiver [mol/s].
double CruisePilot::capacity(int r, double source_moles) const {
    const RiserNet& riser = net_.risers[at(r)];
    const double heaviest = std::max(net_.gases.molar_mass(0.0), net_.gases.molar_mass(1.0));
    return flow::orifice_flow(riser.supply_area, source_moles * net_.source.pressure_per_mole,
                              riser.set * riser.pressure_per_mole, net_.temperature, heaviest);
}

double CruisePilot::making(Machine machine) const {
    switch (machine) {
        case Machine::nitrogen:
            return net_.source.nitrogen_flow;
        case Machine::air:
            return net_.source.air_flow;
        default:
            return 0.0;
    }
}

double CruisePilot::made() const { return making(switches_.machine()); }

/// True when the receiver is so small that its source would start and stop within the resolution of time:
/// left to the caller, who tells that as an error.
bool CruisePilot::source_flips() const {
    return net_.source.stop - net_.source.start < cruise_limits::shortest_leg * series_.supply();
}

/// True when every regulator can hold down to the lowest content the receiver comes to in its present mode.
bool CruisePilot::supplies_hold() const {
    const bool rising = made() > series_.supply();
    const Machine machine = switches_.machine();
    if (machine == Machine::air && !rising) return false;
    for (int r = 0; r < static_cast<int>(net_.risers.size()); ++r) {
        const double need = series_.riser_supply(r);
        double least = machine == Machine::off ? capacity_start_[at(r)] : capacity_air_below_[at(r)];
        const double low = machine == Machine::off ? net_.source.start : net_.source.air_below;
        if (series_.source_moles() < low || (net_.source.air_below <= 0.0 && rising)) {
            if (!rising) return false;
            least = capacity(r, series_.source_moles());
        }
        if (need > least * cruise_limits::sag_margin) return false;
    }
    return true;
}

double CruisePilot::traces() const {
    return cruise_limits::trace * tolerance_ * std::max(net_.gases.oxygen_product, 1e-4);
}

/// Pure product in the receiver, and nothing else coming; a trace of air is handed on first.
bool CruisePilot::clean_source() {
    if (switches_.machine() == Machine::air) return false;
    if (series_.source_air() == 0.0) return true;
    const double oxygen = series_.source_air() / series_.source_moles() * std::abs(net_.gases.oxygen_excess);
    if (oxygen > traces()) return false;
    series_.hand_on(series_.source_air());
    series_.start(made(), 0.0);
    return true;
}

/// So little air in the receiver that only how much of it goes with each cycle matters, from one stop on:
/// what is in the receiver while it is emptied and filled evenly has the inverse of `mean_source_` for its
/// mean. Within a cycle the fraction is off by a tenth of itself, which slow compartments feel all the less.
bool CruisePilot::nearly_clean_source() const {
    const double supply = series_.supply(), surplus = net_.source.nitrogen_flow - supply;
    if (switches_.machine() == Machine::air || surplus <= 0.0) return false;
    if (!averaging_ && !(switches_.machine() == Machine::off && series_.source_moles() == net_.source.stop))
        return false;
    double fastest = 0.0;
    for (const RiserNet& riser : net_.risers) fastest = std::max(fastest, series_.rate(riser.first));
    const double period =
        (net_.source.stop - net_.source.start) * net_.source.nitrogen_flow / (supply * surplus);
    const double oxygen = series_.source_air() / series_.source_moles() * std::abs(net_.gases.oxygen_excess);
    return oxygen * std::min(1.0, fastest * period) <=
           cruise_limits::little / cruise_limits::trace * traces() * net_.composition_margin();
}

}  // namespace oxfade::engine
