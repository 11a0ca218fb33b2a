#include "oxfade/study/remedies.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "oxfade/engine/predict.hpp"
#include "oxfade/flow/leak.hpp"
#include "oxfade/flow/orifice.hpp"
#include "oxfade/outcome/duty.hpp"
#include "oxfade/plant/limits.hpp"
#include "study/vented_lines.hpp"

namespace oxfade::study {
namespace {

using outcome::Remedy;
using outcome::RemedyChange;

constexpr double usual_orifice = 0.8e-3, least_orifice = 0.3e-3;  ///< of a purge vent [m]
constexpr double cycle_orifice = 6.35e-3;  ///< of a vent opened for pressure cycles: 1/4 in [m]
constexpr double of_separator = 0.9;       ///< that a remedy may take at most

/// Reasons that more vents, cycles or time can do something about.
bool can_be_helped(const outcome::RiserOutcome& riser) {
    using outcome::Code;
    return !riser.time_to_target && riser.fill_time &&
           (!riser.not_met_because || riser.not_met_because == Code::run_too_short ||
            riser.not_met_because == Code::no_way_out || riser.not_met_because == Code::tripped);
}

std::vector<std::size_t> risers_to_help(const outcome::Outcome& outcome) {
    std::vector<std::size_t> list;
    for (std::size_t r = 0; r < outcome.risers.size(); ++r) {
        if (can_be_helped(outcome.risers[r])) list.push_back(r);
    }
    return list;
}

bool cycles_already(const plant::Riser& riser) {
    return std::any_of(riser.vents.begin(), riser.vents.end(), [](const plant::Vent& vent) {
        return std::holds_alternative<plant::OpenBetween>(vent.policy);
    });
}

double largest_vent(const plant::Riser& riser) {
    double largest = 0.0;
    for (const plant::Vent& vent : riser.vents) {
        if (!std::holds_alternative<plant::OpenBetween>(vent.policy))
            largest = std::max(largest, vent.orifice.diameter);
    }
    return largest > 0.0 ? largest : usual_orifice;
}

std::optional<double> demand_share(const plant::Plant& plant) {
    const outcome::PlantDuty duty = outcome::duty_of(plant);
    if (!duty.separator || !(*duty.separator > 0.0)) return std::nullopt;
    return duty.demand / *duty.separator;
}

/// Vents on a share of the branch lines, the slowest first; none where there are no lines to vent.
std::optional<Remedy> vents_on(const plant::Plant& plant, const outcome::Outcome& outcome,
                               const std::vector<std::size_t>& risers, double share) {
    Remedy remedy;
    remedy.kind = Remedy::Kind::vents;
    for (const std::size_t r : risers) {
        const std::size_t all = line_count(plant.risers[r], outcome.risers[r]);
        if (all == 0) continue;
        const auto lines = static_cast<std::size_t>(std::ceil(share * static_cast<double>(all) - 1e-9));
        remedy.changes.push_back({r, lines, all, largest_vent(plant.risers[r]), 0.0, 0.0, {}});
    }
    if (remedy.changes.empty()) return std::nullopt;
    return remedy;
}

/// Makes vents smaller until the source keeps up.
void fit_to_source(const plant::Plant& plant, const outcome::Outcome& outcome, Remedy& remedy) {
    const auto before = demand_share(plant);
    if (!before) return;
    const double with = *demand_share(with_remedy(plant, outcome, remedy));
    if (with > of_separator) {
        const double room = of_separator - *before,
                     scale = room > 0.0 ? std::sqrt(room / (with - *before)) : 0.0;
        for (RemedyChange& change : remedy.changes) {
            change.orifice *= scale;
            if (change.orifice < least_orifice) remedy.too_large = true;
        }
    }
    if (!remedy.too_large) remedy.demand_share = demand_share(with_remedy(plant, outcome, remedy));
}

std::optional<Remedy> cycles_of(const plant::Plant& plant, const std::vector<std::size_t>& risers,
                                double kept) {
    Remedy remedy;
    remedy.kind = Remedy::Kind::cycles;
    for (const std::size_t r : risers) {
        const plant::Riser& riser = plant.risers[r];
        if (riser.vents.empty() || cycles_already(riser)) continue;
        const double low = plant.site.pressure + kept * (riser.set_pressure - plant.site.pressure);
        remedy.changes.push_back({r, 0, 0, cycle_orifice, low, riser.set_pressure, {}});
    }
    if (remedy.changes.empty()) return std::nullopt;
    return remedy;
}

/// A supply orifice through which no more than the separator's share comes, so that the source never falls
/// back on air; what there is where that is smaller.
double supply_orifice(const plant::Plant& plant, const plant::Orifice& given, double low,
                      std::size_t risers) {
    const auto* source = std::get_if<plant::Generator>(&plant.source);
    if (source == nullptr) return given.diameter;
    const double most = of_separator * plant::standard_moles(plant.site.reference, source->nitrogen_flow) /
                        static_cast<double>(risers);
    const double passes =
        flow::orifice_flow(given.effective_area(), source->receiver.stop, low, plant.site.temperature.mean(),
                           gas::nitrogen_of_purity(source->purity).molar_mass());
    return passes > most ? given.diameter * std::sqrt(most / passes) : given.diameter;
}

void make_cycle(plant::Plant& plant, const RemedyChange& change, std::size_t risers) {
    plant::Riser& riser = plant.risers[change.riser];
    plant::Orifice orifice =
        std::visit([](const auto& kind) -> plant::Orifice { return kind.orifice; }, riser.supply);
    orifice.diameter = supply_orifice(plant, orifice, change.low, risers);
    riser.supply = plant::PressureSwitch{orifice, change.low, change.high};
    plant::Vent& vent = riser.vents.front();
    vent.orifice.diameter = change.orifice;
    vent.policy = plant::OpenBetween{change.high, change.low};
}

/// About how long one pressure cycle takes: down through its vent, up through its supply [s].
double period_of(const plant::Plant& changed, const RemedyChange& change) {
    const plant::Riser& riser = changed.risers[change.riser];
    const double temperature = plant::temperature_of(riser, changed.site).mean();
    const plant::Vent& vent = riser.vents.front();
    const double area = vent.orifice.effective_area() * riser.copies_of(vent.at);
    const double down = flow::blow_down_time(area, riser.volume(), change.high, change.low,
                                             changed.site.pressure, temperature);
    const auto& supply = std::get<plant::PressureSwitch>(riser.supply);
    double ahead = std::numeric_limits<double>::infinity();
    if (const auto* source = std::get_if<plant::Generator>(&changed.source)) ahead = source->receiver.start;
    if (const auto* source = std::get_if<plant::Compressor>(&changed.source)) ahead = source->receiver.start;
    if (const auto* source = std::get_if<plant::Cylinders>(&changed.source))
        ahead = source->delivery_pressure;
    const double flow = flow::orifice_flow(supply.orifice.effective_area(), ahead, change.high, temperature,
                                           gas::dry_air().molar_mass());
    return down + gas::moles(change.high - change.low, riser.volume(), temperature) / flow;
}

/// Long enough for as many pressure cycles as anybody would make.
double cycling_time(const plant::Plant& plant, const outcome::Outcome& base, const Remedy& remedy) {
    constexpr double most_cycles = 60.0;
    const plant::Plant changed = with_remedy(plant, base, remedy);
    double longest = 0.0, filled = 0.0;
    for (const RemedyChange& change : remedy.changes) longest = std::max(longest, period_of(changed, change));
    for (const outcome::RiserOutcome& riser : base.risers)
        filled = std::max(filled, riser.fill_start.value_or(0.0) + riser.fill_time.value_or(0.0));
    return filled + most_cycles * longest;
}

/// Pressure cycles that a riser made until it met its target, or in all, from the gas that came in.
std::optional<int> cycles_made(const plant::Plant& plant, const outcome::Outcome& run,
                               const RemedyChange& change) {
    const double time = run.risers[change.riser].time_to_target.value_or(run.duration);
    const outcome::History& history = run.history;
    if (history.times.empty() || history.supplied.columns == 0) return std::nullopt;
    const plant::Riser& riser = plant.risers[change.riser];
    const auto row = static_cast<std::size_t>(
        std::lower_bound(history.times.begin(), history.times.end(), time) - history.times.begin());
    const double came = history.supplied.at(std::min(row, history.times.size() - 1), change.riser);
    const double temperature = plant::temperature_of(riser, plant.site).mean();
    const double fill = gas::moles(change.high - riser.initial_pressure.value_or(plant.site.pressure),
                                   riser.volume(), temperature);
    const double each = gas::moles(change.high - change.low, riser.volume(), temperature);
    return std::max(0, static_cast<int>(std::ceil((came - fill) / each)));
}

void run(const plant::Plant& plant, const outcome::Outcome& base, Remedy& remedy,
         const RemedyOptions& options, const std::function<bool()>& go_on) {
    engine::Options settings;
    settings.relative_tolerance = options.relative_tolerance;
    settings.refinement = options.refinement;
    settings.history_points = remedy.kind == Remedy::Kind::cycles ? 721 : 0;
    settings.progress = [&](double) {
        if (!go_on()) throw Error("the search for remedies was stopped");
        return true;
    };
    const plant::Plant changed = plant::lasting(with_remedy(plant, base, remedy), remedy.duration);
    const outcome::Outcome found = engine::predict(changed, settings);
    remedy.on_air = found.source.air_after_fill > base.source.air_after_fill * 1.01 + 1.0;
    for (const outcome::RiserOutcome& riser : found.risers)
        remedy.time_to_target.push_back(riser.time_to_target);
    for (RemedyChange& change : remedy.changes) {
        if (remedy.kind == Remedy::Kind::cycles) change.cycles = cycles_made(changed, found, change);
    }
}

}  // namespace

plant::Plant with_remedy(const plant::Plant& plant, const outcome::Outcome& outcome, const Remedy& remedy) {
    plant::Plant changed = plant;
    for (const RemedyChange& change : remedy.changes) {
        if (remedy.kind == Remedy::Kind::vents)
            vent_lines(changed.risers[change.riser], outcome.risers[change.riser], change.lines,
                       change.orifice);
        if (remedy.kind == Remedy::Kind::cycles) make_cycle(changed, change, remedy.changes.size());
    }
    return changed;
}

std::vector<Remedy> remedies(const plant::Plant& plant, const outcome::Outcome& outcome,
                             const RemedyOptions& options) {
    const std::vector<std::size_t> risers = risers_to_help(outcome);
    std::vector<Remedy> list;
    if (risers.empty()) return list;
    for (const double share : {1.0, 0.5, 0.25}) {
        auto remedy = vents_on(plant, outcome, risers, share);
        if (!remedy) break;
        const bool same =
            !list.empty() && std::equal(remedy->changes.begin(), remedy->changes.end(),
                                        list.back().changes.begin(), list.back().changes.end(),
                                        [](const auto& a, const auto& b) { return a.lines == b.lines; });
        if (same) continue;  // two lines cannot be quartered
        fit_to_source(plant, outcome, *remedy);
        list.push_back(std::move(*remedy));
    }
    for (const double kept : {0.5, 0.2}) {
        if (auto remedy = cycles_of(plant, risers, kept)) list.push_back(std::move(*remedy));
    }
    Remedy longer;
    for (const std::size_t r : risers) longer.changes.push_back({r, 0, 0, 0.0, 0.0, 0.0, {}});
    list.push_back(longer);
    const double duration = std::min(options.longest_over * plant.duration, plant::limits::duration);
    std::size_t done = 0;
    for (Remedy& remedy : list) {
        remedy.duration = duration;
        if (remedy.kind == Remedy::Kind::cycles)
            remedy.duration = std::min(duration, cycling_time(plant, outcome, remedy));
        const auto go_on = [&] { return !options.progress || options.progress(done, list.size()); };
        if (!remedy.too_large) run(plant, outcome, remedy, options, go_on);
        ++done;
    }
    return list;
}

}  // namespace oxfade::study
