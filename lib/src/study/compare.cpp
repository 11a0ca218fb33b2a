#include "oxfade/study/compare.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "oxfade/engine/predict.hpp"
#include "oxfade/gas/mixture.hpp"
#include "study/space_error.hpp"

namespace oxfade::study {
namespace {

constexpr std::size_t history_points = 4001;  // for the integral of the exposure
constexpr std::size_t most_candidates = 26;

std::optional<double> longest_fill(const outcome::Outcome& outcome) {
    double longest = 0.0;
    for (const outcome::RiserOutcome& riser : outcome.risers) {
        if (!riser.fill_time) return std::nullopt;
        longest = std::max(longest, *riser.fill_time);
    }
    return longest;
}

std::optional<double> time_to_target(const outcome::Outcome& outcome) {
    double latest = 0.0;
    for (const outcome::RiserOutcome& riser : outcome.risers) {
        if (!riser.time_to_target) return std::nullopt;
        latest = std::max(latest, *riser.time_to_target);
    }
    return latest;
}

/// @param go_on asked now and then; false stops with an Error
Strategy run(const Candidate& candidate, const std::function<bool()>& go_on) {
    engine::Options options;
    options.progress = [&](double) {
        if (!go_on()) throw Error("the comparison was stopped");
        return true;
    };
    options.history_points = history_points;
    options.relative_tolerance = candidate.relative_tolerance;
    outcome::Outcome outcome = engine::predict(candidate.plant, options);
    Strategy strategy;
    strategy.name = candidate.name;
    strategy.all_met = outcome.all_met();
    strategy.target_at = candidate.plant.target_at;
    strategy.space_error = space_error_of(outcome);
    strategy.fills_met = std::all_of(outcome.risers.begin(), outcome.risers.end(),
                                     [](const outcome::RiserOutcome& riser) { return riser.fill_met; });
    const outcome::SourceOutcome& source = outcome.source;
    strategy.values = {time_to_target(outcome),
                       longest_fill(outcome),
                       plant::standard_volume(candidate.plant.site.reference, source.made_nitrogen),
                       source.energy,
                       source.running,
                       source.starts,
                       oxygen_exposure(candidate.plant, outcome)};
    strategy.target_met = strategy.values[0].has_value();
    strategy.messages = std::move(outcome.messages);
    return strategy;
}

/// So near that a reader would not call one of them better.
bool nearly_equal(const std::optional<double>& a, const std::optional<double>& b) {
    if (!a || !b) return !a && !b;
    return std::abs(*a - *b) <= 1e-3 * std::max(std::abs(*a), std::abs(*b));
}

std::optional<std::size_t> best_of(const std::vector<Strategy>& strategies, std::size_t measure) {
    const bool any_met = std::any_of(strategies.begin(), strategies.end(),
                                     [](const Strategy& strategy) { return strategy.target_met; });
    const auto counts = [&](const Strategy& strategy) {
        return strategy.values[measure] && (!any_met || strategy.target_met);
    };
    std::optional<std::size_t> best;
    for (std::size_t k = 0; k < strategies.size(); ++k) {
        if (!counts(strategies[k])) continue;
        if (!best || *strategies[k].values[measure] < *strategies[*best].values[measure]) best = k;
    }
    for (std::size_t k = 0; best && k < strategies.size(); ++k) {
        const bool rival = k != *best && counts(strategies[k]);
        if (rival && nearly_equal(strategies[k].values[measure], strategies[*best].values[measure]))
            return std::nullopt;
    }
    return best;
}

bool same(const std::optional<Field>& a, const std::optional<Field>& b) {
    if (!a || !b) return !a && !b;
    return a->value == b->value && a->word == b->word;
}

}  // namespace

std::string_view measure_name(Measure measure) {
    constexpr std::array<std::string_view, measures.size()> names{
        "time_to_target", "longest_fill", "nitrogen", "energy", "running", "starts", "oxygen_exposure"};
    return names[static_cast<std::size_t>(measure)];
}

std::vector<Difference> differences(std::span<const Candidate> candidates) {
    std::vector<Difference> all;
    std::map<std::string, std::size_t> places;
    for (std::size_t k = 0; k < candidates.size(); ++k) {
        for (Field& field : fields_of(candidates[k].plant)) {
            const auto [place, added] = places.try_emplace(field.key, all.size());
            if (added) all.push_back({field.key, std::vector<std::optional<Field>>(candidates.size())});
            all[place->second].values[k] = std::move(field);
        }
    }
    std::erase_if(all, [](const Difference& difference) {
        const auto& values = difference.values;
        return difference.key == "title" ||
               std::all_of(values.begin(), values.end(), [&](const auto& v) { return same(v, values[0]); });
    });
    return all;
}

double oxygen_exposure(const plant::Plant& plant, const outcome::Outcome& outcome) {
    const outcome::History& history = outcome.history;
    double seen = 0.0, on_air = 0.0;
    std::size_t column = 0;
    for (std::size_t r = 0; r < plant.risers.size(); ++r) {
        for (std::size_t p = 0; p < plant.risers[r].pipes.size(); ++p) {
            const outcome::PipeOutcome& run = outcome.risers[r].pipes[p];
            for (std::size_t cell = 0; cell < run.cell_ends.size(); ++cell, ++column) {
                const double part = run.cell_ends[cell] - (cell > 0 ? run.cell_ends[cell - 1] : 0.0);
                const double cell_volume = plant.risers[r].pipes[p].volume() * run.copies * part;
                for (std::size_t k = 1; k < history.times.size(); ++k) {
                    const double half = 0.5 * cell_volume * (history.times[k] - history.times[k - 1]);
                    const double before = history.pressure.at(k - 1, r), after = history.pressure.at(k, r);
                    seen += half * (before * history.oxygen.at(k - 1, column) +
                                    after * history.oxygen.at(k, column));
                    on_air += half * (before + after) * gas::dry_air()[gas::Species::oxygen];
                }
            }
        }
    }
    return on_air > 0.0 ? seen / on_air : 0.0;
}

Comparison compare(std::span<const Candidate> candidates, const CompareOptions& options) {
    if (candidates.size() < 2 || candidates.size() > most_candidates) {
        throw InputError({Problem{"",
                                  std::to_string(candidates.size()),
                                  "a comparison needs plants",
                                  "2 to " + std::to_string(most_candidates),
                                  {},
                                  0}});
    }
    Comparison comparison;
    comparison.differences = differences(candidates);
    for (const Candidate& candidate : candidates) {
        const auto go_on = [&] {
            return !options.progress || options.progress(comparison.strategies.size(), candidates.size());
        };
        comparison.strategies.push_back(run(candidate, go_on));
    }
    for (std::size_t m = 0; m < measures.size(); ++m) comparison.best[m] = best_of(comparison.strategies, m);
    return comparison;
}

}  // namespace oxfade::study
