#include "engine/agenda.hpp"

#include <algorithm>
#include <utility>

namespace oxfade::engine {

Agenda::Agenda(const plant::Plant& plant) : plant_(&plant), order_(plant::actions_in_order(plant)) {}

bool Agenda::changes_settings() const {
    return std::any_of(plant_->actions.begin(), plant_->actions.end(),
                       [](const plant::Action& action) { return action.deed == plant::Deed::set; });
}

const plant::Action* Agenda::take(double time) {
    if (next_date() > time) return nullptr;
    taken_.push_back(order_[next_]);
    return &plant_->actions[order_[next_++]];
}

void Agenda::open(Snapshot begin, std::size_t risers) {
    Stretch& stretch = stretches_.emplace_back();
    stretch.actions = std::exchange(taken_, {});
    stretch.begin = std::move(begin);
    stretch.pressures.assign(risers, {0.0, 0.0});
}

}  // namespace oxfade::engine
