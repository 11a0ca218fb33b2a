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

double CruiseStepper::step(SeriesView<double>& view, double size) {
    size = std::min(size, control_.wanted());
    while (!control_.take(size, attempt(view, size)) && size > shortest)
        size = std::max(control_.wanted(), shortest);
    settle(view);
    return size;
}

}  // namespace oxfade::engine
