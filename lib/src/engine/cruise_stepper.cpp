#include "engine/cruise_stepper.hpp"

#include <algorithm>
#include <limits>

#include "engine/rosenbrock.hpp"

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
    if (at_begin_[kind] > 0.0) wanted_ = std::min(wanted_, at_begin_[kind]);
}

double CruiseStepper::step(SeriesView<double>& view, double size) {
    size = std::min(size, wanted_);
    for (;;) {
        const double norm = attempt(view, size);
        const double factor = step_factor(norm);
        if (norm <= 1.0) {
            // A step cut short by an event says little against the size wanted before.
            wanted_ = size < wanted_ ? std::max(wanted_, size * factor) : size * factor;
            if (leg_begins_) at_begin_[leg_] = size * factor;
            leg_begins_ = false;
            break;
        }
        if (size <= shortest) break;
        wanted_ = size = std::max(size * std::min(factor, 0.9), shortest);
    }
    settle(view);
    return size;
}

}  // namespace oxfade::engine
