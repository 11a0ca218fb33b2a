#include "study/space_error.hpp"

#include <algorithm>

#include "oxfade/engine/predict.hpp"

namespace oxfade::study {

std::optional<double> space_error_of(const outcome::Outcome& outcome) {
    const auto last =
        std::max_element(outcome.risers.begin(), outcome.risers.end(), [](const auto& a, const auto& b) {
            return a.time_to_target.value_or(0.0) < b.time_to_target.value_or(0.0);
        });
    return last == outcome.risers.end() ? std::nullopt : last->space_error_of_time;
}

std::optional<double> space_error_of(const plant::Plant& plant, double relative_tolerance) {
    const bool cut = std::any_of(plant.risers.begin(), plant.risers.end(), [](const plant::Riser& riser) {
        return std::any_of(riser.pipes.begin(), riser.pipes.end(),
                           [](const plant::Pipe& pipe) { return pipe.geometry() != nullptr && !pipe.cells; });
    });
    if (!cut) return std::nullopt;
    engine::Options options;
    options.relative_tolerance = relative_tolerance;
    options.history_points = 0;
    try {
        return space_error_of(engine::predict(plant, options));
    } catch (const Error&) {  // the study's own runs say what is wrong
        return std::nullopt;
    }
}

}  // namespace oxfade::study
