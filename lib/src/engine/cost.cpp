#include "oxfade/engine/cost.hpp"

#include <variant>

#include "engine/mesh.hpp"

namespace oxfade::engine {
namespace {

constexpr double steps_of_purge = 1200.0, steps_a_day = 50.0, steps_an_opening = 2.0;
constexpr double time_a_step = 1e-6, time_a_compartment = 2e-7;  // [s]

}  // namespace

double estimated_time(const plant::Plant& plant) {
    double steps = steps_of_purge + steps_a_day * plant.duration / 86400.0;
    double compartments = 0.0;
    for (const plant::Riser& riser : plant.risers) {
        for (const PipeMesh& pipe : mesh_of(plant, riser, 1.0))
            compartments += static_cast<double>(pipe.parts.size());
        for (const plant::Vent& vent : riser.vents) {
            const auto* timed = std::get_if<plant::OpenTimed>(&vent.policy);
            if (timed != nullptr) steps += steps_an_opening * plant.duration / timed->every;
        }
    }
    return steps * (time_a_step + time_a_compartment * compartments);
}

}  // namespace oxfade::engine
