#include "study/commission_runs.hpp"

#include <algorithm>

#include "oxfade/engine/predict.hpp"
#include "oxfade/outcome/duty.hpp"
#include "oxfade/study/faults.hpp"

namespace oxfade::study::detail {

FirstDays::FirstDays(const plant::Plant& plant, const SheetOptions& options) : plant_(plant) {
    double last = 6.0 * 3600.0;  // long enough for any fill worth the name
    for (const plant::Riser& riser : plant.risers) last += 4.0 * riser.fill_limit + riser.rest;
    for (const double time : options.oxygen_times) last = std::max(last, time);
    const plant::Plant run = plant::lasting(plant, std::min(last, plant.duration));
    engine::Options settings;
    settings.relative_tolerance = options.relative_tolerance;
    settings.history_points = 2001;
    settings.progress = options.progress;
    outcome_ = engine::predict(run, settings);
}

double FirstDays::oxygen_at(std::size_t riser, const std::string& pipe, double time) const {
    const std::size_t column = outcome_.last_column(riser, *plant_.risers[riser].pipe_index(pipe));
    const outcome::History& history = outcome_.history;
    const auto after = std::upper_bound(history.times.begin(), history.times.end(), time);
    if (after == history.times.end()) return history.oxygen.at(history.times.size() - 1, column);
    const auto k = static_cast<std::size_t>(after - history.times.begin());
    const double part = (time - history.times[k - 1]) / (history.times[k] - history.times[k - 1]);
    return history.oxygen.at(k - 1, column) +
           part * (history.oxygen.at(k, column) - history.oxygen.at(k - 1, column));
}

double test_loss(const plant::Riser& riser, const plant::Site& site) {
    const double area = leak_area(riser, site);
    return area > 0.0 ? outcome::acceptance_loss(area, riser.volume(), site) : 0.0;
}

}  // namespace oxfade::study::detail
