#include "oxfade/study/checkup.hpp"

#include <algorithm>
#include <limits>
#include <map>
#include <utility>

#include "oxfade/flow/orifice.hpp"
#include "oxfade/gas/mixture.hpp"
#include "oxfade/outcome/duty.hpp"
#include "oxfade/outcome/findings.hpp"
#include "oxfade/outcome/grouping.hpp"
#include "oxfade/plant/leak_area.hpp"
#include "oxfade/study/dead_end.hpp"
#include "oxfade/study/faults.hpp"

namespace oxfade::study {
namespace {

/// Pipes from the mouth of a dead end to its farthest end; none where one of them has no geometry.
std::vector<std::size_t> longest_run(const plant::Riser& riser, std::size_t first,
                                     const std::vector<std::size_t>& pipes) {
    std::vector<std::size_t> longest;
    double most = 0.0;
    for (const std::size_t end : pipes) {
        std::vector<std::size_t> run;
        double length = 0.0;
        for (std::optional<std::size_t> p = end; p; p = riser.parent_index(*p)) {
            if (riser.pipes[*p].geometry() == nullptr) return {};
            length += riser.pipes[*p].geometry()->length;
            run.push_back(*p);
            if (*p == first) break;
        }
        if (length <= most) continue;
        most = length;
        longest.assign(run.rbegin(), run.rend());
    }
    return longest;
}

/// The way along these pipes, with what hangs on them beside it.
DeadEndWay way_along(const plant::Plant& plant, const plant::Riser& riser,
                     const std::vector<std::size_t>& run, const std::vector<std::size_t>& pipes) {
    const std::vector<int> copies = riser.copies();
    const std::vector<double> pitches = riser.pitches();
    const double one = copies[run.front()];
    DeadEndWay way;
    for (const std::size_t p : run) {
        const plant::Cylinder& shape = *riser.pipes[p].geometry();
        way.pieces.push_back({shape.length, shape.bore, pitches[p], copies[p] / one, 0.0});
    }
    for (const std::size_t p : pipes) {
        if (std::find(run.begin(), run.end(), p) != run.end()) continue;
        std::optional<std::size_t> at = p;
        while (std::find(run.begin(), run.end(), *at) == run.end()) at = riser.parent_index(*at);
        const auto k = static_cast<std::size_t>(std::find(run.begin(), run.end(), *at) - run.begin());
        way.pieces[k].aside += riser.pipes[p].volume() * copies[p] / one;
    }
    way.product = std::holds_alternative<plant::Compressor>(plant.source)
                      ? gas::dry_air()
                      : gas::nitrogen_of_purity(plant::product_purity(plant.source));
    way.pressure = riser.set_pressure;
    way.temperature = plant::temperature_of(riser, plant.site).mean();
    way.mixing = plant.mixing;
    return way;
}

/// Times of ways that are alike are computed once.
class WashoutTimes {
  public:
    double operator()(const DeadEndWay& way, double share) {
        std::vector<double> key{way.pressure, way.temperature, way.mixing.buoyant ? 1.0 : 0.0};
        for (const DeadEndPiece& piece : way.pieces)
            key.insert(key.end(), {piece.length, piece.bore, piece.pitch, piece.lines, piece.aside});
        const auto known = known_.find(key);
        if (known != known_.end()) return known->second;
        return known_.emplace(std::move(key), washout_time(way, share)).first->second;
    }

  private:
    std::map<std::vector<double>, double> known_;
};

void add_mixing(DeadEnd& end, const plant::Plant& plant, DeadEndWay way, WashoutTimes& times) {
    if (!plant.mixing.molecular) return;
    const double clean = 1.0 - plant::product_purity(plant.source);
    const double share = (1.0 - plant.target - clean) / (gas::dry_air()[gas::Species::oxygen] - clean);
    if (!(share > 0.0 && share < 1.0)) {
        end.by_diffusion = std::numeric_limits<double>::infinity();
        return;
    }
    if (plant.mixing.buoyant) end.by_mixing = times(way, share);
    way.mixing.buoyant = false;
    end.by_diffusion = times(way, share);
}

/// What leaks in the dead end, at the set pressure [mol/s].
double leak_flow(const plant::Plant& plant, const plant::Riser& riser, const std::vector<std::size_t>& pipes,
                 double volume) {
    double area = 0.0;
    for (const plant::Leak& leak : riser.leaks) {
        const double whole = plant::leak_area(leak, riser, plant.site);
        const bool spread = !leak.at.has_value();
        const bool here =
            !spread && std::find(pipes.begin(), pipes.end(), *riser.pipe_index(*leak.at)) != pipes.end();
        area += spread ? whole * volume / riser.volume() : here ? whole : 0.0;
    }
    return flow::orifice_flow(area, riser.set_pressure, plant.site.pressure, plant.site.temperature.mean(),
                              gas::dry_air().molar_mass());
}

DeadEnd dead_end(const plant::Plant& plant, const plant::Riser& riser, std::size_t first,
                 WashoutTimes& times) {
    const auto pipes = subtree_of(riser, first);
    DeadEnd end;
    end.riser = riser.name;
    end.pipe = outcome::line_name(riser, first);
    end.pipes = pipes.size();
    const std::vector<int> copies = riser.copies();
    end.copies = copies[first];
    for (const std::size_t p : pipes) end.volume += riser.pipes[p].volume() * copies[p] / copies[first];
    const auto run = longest_run(riser, first, pipes);
    if (!run.empty()) {
        end.length = 0.0;
        for (const std::size_t p : run) *end.length += riser.pipes[p].geometry()->length;
        // Gas mixes across the mouth only where both sides of it have a geometry.
        if (riser.pipes[*riser.parent_index(first)].geometry() != nullptr)
            add_mixing(end, plant, way_along(plant, riser, run, pipes), times);
    }
    const double all = end.volume * end.copies, leaks = leak_flow(plant, riser, pipes, all);
    if (leaks > 0.0)
        end.leak_renewal = gas::moles(riser.set_pressure, all, plant.site.temperature.mean()) / leaks;
    return end;
}

}  // namespace

SizeStep size_step(double volume) {
    constexpr double margin = 1.0 + 1e-9;  // a volume typed as 500 gal is one
    if (volume <= plain_volume * margin) return SizeStep::plain;
    return volume <= with_quick_volume * margin ? SizeStep::with_quick : SizeStep::by_delivery;
}

Checkup checkup(const plant::Plant& plant) {
    Checkup result;
    WashoutTimes times;
    for (const plant::Riser& riser : plant.risers) {
        result.sizes.push_back(size_step(riser.volume()));
        for (const std::size_t first : outcome::dead_branches(riser))
            result.dead_ends.push_back(dead_end(plant, riser, first, times));
    }
    const outcome::PlantDuty duty = outcome::duty_of(plant);
    if (duty.separator) result.margin = 1.0 - duty.demand / *duty.separator;
    return result;
}

}  // namespace oxfade::study
