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

constexpr double buoyant_coefficient = 7.0 / 46080.0;  ///< model.md eq. 10
/// Below this many bores the ceiling of eq. 11, which sees no further than the next part, holds gas back.
constexpr double bores_a_part = 10.0;

/// From the mouth of a dead end to its farthest end.
struct Run {
    double length = 0.0;      ///< [m]
    double least_bore = 0.0;  ///< [m]
    bool level = true;
};

std::optional<Run> longest_run(const plant::Riser& riser, std::size_t first,
                               const std::vector<std::size_t>& pipes) {
    Run longest;
    for (const std::size_t end : pipes) {
        Run run{0.0, std::numeric_limits<double>::infinity(), true};
        for (std::optional<std::size_t> p = end; p; p = riser.parent_index(*p)) {
            const plant::Pipe& pipe = riser.pipes[*p];
            if (pipe.geometry() == nullptr) return std::nullopt;
            run.length += pipe.geometry()->length;
            run.least_bore = std::min(run.least_bore, pipe.geometry()->bore);
            run.level = run.level && pipe.position == plant::Position::level;
            if (*p == first) break;
        }
        if (run.length > longest.length) longest = run;
    }
    return longest;
}

/// Relative density that an excess of oxygen of one adds.
double heavier() {
    const auto& mass = gas::species_molar_mass;
    return (mass[1] - mass[0]) / gas::dry_air().molar_mass();
}

/// Ra of a run with an excess of oxygen of one at its end.
double rayleigh(const Run& run, double pressure, double temperature, double diffusivity) {
    const gas::Mixture air = gas::dry_air();
    const double density = pressure * air.molar_mass() / (gas::gas_constant * temperature);
    const double kinematic = gas::viscosity(air, temperature) / density;
    return gas::standard_gravity * heavier() / run.length * std::pow(0.5 * run.least_bore, 4) /
           (kinematic * diffusivity);
}

/// Excess at which the counter-flow, at its fastest 2/(3 sqrt 3) Ra/8 D/a, just takes as long from mouth to
/// end as diffusion takes across the pipe, a^2/D: above it, eq. 10 is out of range.
double law_below(const Run& run, double rayleigh) {
    const double fastest = 2.0 / (3.0 * std::numbers::sqrt3) / 8.0 * rayleigh;
    return run.length / (fastest * 0.5 * run.least_bore);
}

/// Whether a pipe is cut into parts so short that the ceiling of eq. 11 binds for no other reason.
bool held_back(const plant::Pipe& pipe, const Run& run, double excess, double diffusivity, double enhanced) {
    const double part = pipe.geometry()->length / pipe.cells, bore = pipe.geometry()->bore;
    if (pipe.cells == 1 || part >= bores_a_part * bore) return false;
    const double ceiling =
        0.25 * std::sqrt(gas::standard_gravity * heavier() * excess * part / run.length * bore);
    return ceiling < diffusivity * enhanced / part;
}

void add_mixing(DeadEnd& end, const plant::Plant& plant, const plant::Riser& riser, std::size_t first,
                const Run& run) {
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
    if (!plant.mixing.buoyant || !run.level) return;
    const double number = rayleigh(run, riser.set_pressure, temperature, diffusivity);
    const double buoyancy = buoyant_coefficient * number * number;
    end.by_mixing = dead_end_time(run.length, diffusivity, buoyancy, from, to);
    if (const double limit = law_below(run, number); limit < from) end.law_below = limit;
    const plant::Pipe& pipe = riser.pipes[first];
    if (held_back(pipe, run, from, diffusivity, buoyancy * from * from))
        end.most_cells =
            std::max(1, static_cast<int>(pipe.geometry()->length / (bores_a_part * pipe.geometry()->bore)));
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
    for (const std::size_t p : pipes) end.volume += riser.pipes[p].volume();
    if (const auto run = longest_run(riser, first, pipes)) {
        end.length = run->length;
        // Gas mixes across the mouth only where both sides of it have a geometry.
        const plant::Pipe& before = riser.pipes[*riser.parent_index(first)];
        if (before.geometry() != nullptr) {
            add_mixing(end, plant, riser, first, *run);
            const double half = 0.5 * before.geometry()->length / before.cells;
            if (end.by_diffusion && half > 0.25 * run->length) end.mouth_length = half;
        }
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
