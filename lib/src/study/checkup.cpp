#include "oxfade/study/checkup.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "oxfade/flow/orifice.hpp"
#include "oxfade/gas/mixture.hpp"
#include "oxfade/gas/transport.hpp"
#include "oxfade/outcome/duty.hpp"
#include "oxfade/outcome/findings.hpp"
#include "oxfade/plant/leak_area.hpp"
#include "oxfade/study/faults.hpp"

namespace oxfade::study {
namespace {

/// From the mouth of a dead end to its farthest end.
struct Run {
    double length = 0.0;      ///< [m]
    double least_bore = 0.0;  ///< [m]
};

std::optional<Run> longest_run(const plant::Riser& riser, std::size_t first,
                               const std::vector<std::size_t>& pipes) {
    Run longest;
    for (const std::size_t end : pipes) {
        Run run{0.0, std::numeric_limits<double>::infinity()};
        for (std::optional<std::size_t> p = end; p; p = riser.parent_index(*p)) {
            const plant::Pipe& pipe = riser.pipes[*p];
            if (pipe.geometry() == nullptr) return std::nullopt;
            run.length += pipe.geometry()->length;
            run.least_bore = std::min(run.least_bore, pipe.geometry()->bore);
            if (*p == first) break;
        }
        if (run.length > longest.length) longest = run;
    }
    return longest;
}

void add_mixing(DeadEnd& end, const plant::Plant& plant, const plant::Riser& riser, const Run& run) {
    const double clean = 1.0 - plant::product_purity(plant.source);
    const double from = gas::dry_air()[gas::Species::oxygen] - clean, to = 1.0 - plant.target - clean;
    if (!plant.mixing.molecular) return;
    if (to <= 0.0) {
        end.by_diffusion = std::numeric_limits<double>::infinity();
        return;
    }
    const double temperature = plant.site.temperature.mean();
    const double diffusivity = gas::diffusivity_times_pressure(temperature) / riser.set_pressure;
    end.by_diffusion = dead_end_time(run.length, diffusivity, 0.0, from, to);
}

/// What leaks in the dead end, at the set pressure [mol/s].
double leak_flow(const plant::Plant& plant, const plant::Riser& riser, const std::vector<std::size_t>& pipes,
                 double volume) {
    double area = 0.0;
    for (const plant::Leak& leak : riser.leaks) {
        const double whole = plant::leak_area(leak, riser.volume(), plant.site);
        const bool spread = !leak.at.has_value();
        const bool here =
            !spread && std::find(pipes.begin(), pipes.end(), *riser.pipe_index(*leak.at)) != pipes.end();
        area += spread ? whole * volume / riser.volume() : here ? whole : 0.0;
    }
    return flow::orifice_flow(area, riser.set_pressure, plant.site.pressure, plant.site.temperature.mean(),
                              gas::dry_air().molar_mass());
}

DeadEnd dead_end(const plant::Plant& plant, const plant::Riser& riser, std::size_t first) {
    const auto pipes = subtree_of(riser, first);
    DeadEnd end;
    end.riser = riser.name;
    end.pipe = riser.pipes[first].name;
    end.pipes = pipes.size();
    const std::vector<int> copies = riser.copies();
    for (const std::size_t p : pipes) end.volume += riser.pipes[p].volume() * copies[p];
    if (const auto run = longest_run(riser, first, pipes)) {
        end.length = run->length;
        // Gas mixes across the mouth only where both sides of it have a geometry.
        if (riser.pipes[*riser.parent_index(first)].geometry() != nullptr) add_mixing(end, plant, riser, *run);
    }
    const double leaks = leak_flow(plant, riser, pipes, end.volume);
    if (leaks > 0.0)
        end.leak_renewal = gas::moles(riser.set_pressure, end.volume, plant.site.temperature.mean()) / leaks;
    return end;
}

}  // namespace

SizeStep size_step(double volume) {
    constexpr double slack = 1.0 + 1e-9;  // a volume typed as 500 gal is one
    if (volume <= plain_volume * slack) return SizeStep::plain;
    return volume <= with_quick_volume * slack ? SizeStep::with_quick : SizeStep::by_delivery;
}

double dead_end_time(double length, double diffusivity, double buoyancy, double from, double to) {
    const double slowest = 4.0 * length * length / (std::numbers::pi * std::numbers::pi * diffusivity);
    // dx/dt = -(x / slowest) (1 + C x^2), begun at 4/pi of the excess: the slowest mode's part of an even
    // start. C is that of the mode's own gradient, by projection.
    buoyancy *= 3.0 * std::numbers::pi * std::numbers::pi / 16.0;
    const double begin = 4.0 / std::numbers::pi * from;
    const double slowed = std::log1p(buoyancy * begin * begin) - std::log1p(buoyancy * to * to);
    return slowest * (std::log(begin / to) - 0.5 * slowed);
}

Checkup checkup(const plant::Plant& plant) {
    Checkup result;
    for (const plant::Riser& riser : plant.risers) {
        result.sizes.push_back(size_step(riser.volume()));
        for (const std::size_t first : outcome::dead_branches(riser))
            result.dead_ends.push_back(dead_end(plant, riser, first));
    }
    const outcome::PlantDuty duty = outcome::duty_of(plant);
    if (duty.separator) result.margin = 1.0 - duty.demand / *duty.separator;
    return result;
}

}  // namespace oxfade::study
