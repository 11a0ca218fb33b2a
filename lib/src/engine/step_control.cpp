#include "engine/step_control.hpp"

#include <algorithm>
#include <cmath>

namespace oxfade::engine {

void StepControl::turn(std::size_t leg) {
    leg_ = leg;
    leg_begins_ = true;
    if (const auto last = at_begin_.find(leg); last != at_begin_.end())
        wanted_ = std::min(wanted_, last->second);
}

bool StepControl::take(double size, double norm) {
    constexpr double safety = 0.9, least = 0.2, most = 5.0;
    const double factor = safety / std::cbrt(std::max(norm, 1e-12));
    if (norm > 1.0) {
        wanted_ = size * std::clamp(factor, least, safety);
        return false;
    }
    // A step cut short by an event says little against the size wanted before.
    const double next = size * std::clamp(factor, least, most);
    wanted_ = size < wanted_ ? std::max(wanted_, next) : next;
    if (leg_begins_) at_begin_[leg_] = wanted_;
    leg_begins_ = false;
    return true;
}

}  // namespace oxfade::engine
