#include "engine/cruise_stepper.hpp"

#include <algorithm>
#include <limits>

namespace oxfade::engine {
namespace {

constexpr double shortest = 1e-6;  ///< step that is taken whatever its error [s]

}  // namespace

double slowest_rate(const SeriesView<double>& view, const std::vector<double>& change) {
    double slowest = std::numeric_limits<double>::infinity();
    for (int i = 0; i < view.nodes; ++i) {
        if (change[static_cast<std::size_t>(i)] != 0.0)
            slowest = std::min(slowest, view.link[i] * view.inverse_moles[i]);
    }
    return slowest;
}

void CruiseStepper::turn(std::size_t kind) {
    leg_ = kind;
    leg_begins_ = true;
    if (at_begin_[kind] > 0.0) control_.limit(at_begin_[kind]);
}

double CruiseStepper::step(SeriesView<double>& view, double size) {
    size = std::min(size, control_.wanted());
    while (!control_.take(size, attempt(view, size)) && size > shortest)
        size = std::max(control_.wanted(), shortest);
    if (leg_begins_) at_begin_[leg_] = control_.wanted();
    leg_begins_ = false;
    settle(view);
    return size;
}

}  // namespace oxfade::engine
