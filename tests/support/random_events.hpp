#pragma once

#include <array>
#include <string>
#include <tuple>
#include <utility>

#include "support/random_plant.hpp"
#include "support/wet_plants.hpp"

/// Random plants with water, in weather, to which things happen.
namespace oxfade::sample {

namespace detail {

inline plant::Temperature random_course(Dice& dice, double duration) {
    const double mean = dice.between(255.0, 305.0);
    if (dice.chance(0.3)) return mean;
    if (dice.chance(0.5)) {
        return plant::DailySwing{mean, dice.scale(0.5, 30.0), dice.scale(0.05, 2.0) * duration,
                                 dice.unit() * duration};
    }
    plant::TemperatureTable table;
    double time = dice.chance(0.5) ? 0.0 : dice.unit() * 0.1 * duration;
    const int knots = dice.count(1, 6);
    for (int k = 0; k < knots; ++k) {
        // Now and then as sudden as a door that opens.
        table.knots.push_back({time, mean + dice.between(-15.0, 15.0)});
        time += (dice.chance(0.2) ? 1e-3 : dice.between(0.02, 0.3)) * duration;
    }
    if (dice.chance(0.5)) table.period = time - table.knots.front().time;
    return table;
}

/// A quantity that may change, and what it may become.
inline std::pair<std::string, double> random_setting(const plant::Plant& plant, std::size_t r, Dice& dice) {
    const plant::Riser& riser = plant.risers[r];
    const std::string own = "riser." + std::to_string(r) + ".";
    const auto* generator = std::get_if<plant::Generator>(&plant.source);
    switch (dice.count(0, 6)) {
        case 0:
            if (generator) return {"source.nitrogen_flow", generator->nitrogen_flow * dice.scale(0.3, 2.0)};
            break;
        case 1:
            if (generator) return {"source.receiver.stop", generator->receiver.stop * dice.between(0.9, 1.3)};
            break;
        case 2:
            if (generator && generator->power)
                return {"source.power", *generator->power * dice.scale(0.5, 2.0)};
            break;
        case 3:
            return {own + "fill.diameter", riser.fill.diameter * dice.scale(0.7, 1.5)};
        case 4:
            if (!riser.vents.empty())
                return {own + "vent.0.diameter", riser.vents[0].orifice.diameter * dice.scale(0.5, 2.0)};
            break;
        case 5:
            return {own + "supply.diameter", dice.scale(0.5e-3, 6e-3)};
        default:
            break;
    }
    return {own + "set_pressure", riser.set_pressure + dice.between(-0.2, 1.0) * 1e5};
}

inline plant::Action random_action(const plant::Plant& plant, Dice& dice) {
    using plant::Deed;
    plant::Action action;
    action.at = dice.chance(0.05) ? 0.0 : dice.unit() * 0.999 * plant.duration;
    const auto r = static_cast<std::size_t>(dice.count(0, static_cast<int>(plant.risers.size()) - 1));
    const plant::Riser& riser = plant.risers[r];
    constexpr std::array<Deed, 7> deeds{Deed::trip, Deed::outage, Deed::restore, Deed::shut,
                                        Deed::open, Deed::set,    Deed::drain};
    action.deed = deeds[static_cast<std::size_t>(dice.count(0, 6))];
    const bool of_riser = action.deed == Deed::trip || action.deed == Deed::shut ||
                          action.deed == Deed::open || action.deed == Deed::drain;
    if (of_riser) action.riser = riser.name;
    if (action.deed == Deed::trip && dice.chance(0.5)) action.duration = dice.unit() * 0.2 * plant.duration;
    if (action.deed == Deed::shut || action.deed == Deed::open) {
        const auto v = static_cast<std::size_t>(dice.count(0, static_cast<int>(riser.vents.size())));
        action.what = v < riser.vents.size() ? riser.vents[v].name : "supply";
    }
    if (action.deed == Deed::drain && !riser.low_points.empty() && dice.chance(0.7))
        action.what = riser.low_points[0].name;
    if (action.deed == Deed::set) std::tie(action.key, action.value) = random_setting(plant, r, dice);
    return action;
}

}  // namespace detail

inline plant::Plant random_eventful_plant(unsigned seed) {
    plant::Plant plant = random_plant(seed);
    Dice dice(seed + 50'000);
    if (dice.chance(0.6)) plant.site.temperature = detail::random_course(dice, plant.duration);
    for (plant::Riser& riser : plant.risers) {
        if (dice.chance(0.3)) riser.temperature = detail::random_course(dice, plant.duration);
    }
    if (dice.chance(0.5)) add_random_water(plant, dice);
    const int actions = dice.count(1, 8);
    for (int k = 0; k < actions; ++k) {
        plant.actions.push_back(detail::random_action(plant, dice));
        // What would not be taken, as a valve that is opened though nothing has shut it, is left out.
        if (!plant::find_problems(plant).empty()) plant.actions.pop_back();
    }
    return plant;
}

}  // namespace oxfade::sample
