#pragma once

#include <array>
#include <cstddef>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "oxfade/outcome/outcome.hpp"
#include "oxfade/plant/plant.hpp"
#include "oxfade/study/parameter.hpp"

namespace oxfade::study {

/// A plant that is to be compared with others.
struct Candidate {
    std::string name;  ///< what it is called: its file, for example
    plant::Plant plant;
    double relative_tolerance = 1e-6;
};

/// What is compared; less is better for all of them.
enum class Measure { time_to_target, longest_fill, nitrogen, energy, running, starts, oxygen_exposure };
inline constexpr std::array measures{Measure::time_to_target, Measure::longest_fill, Measure::nitrogen,
                                     Measure::energy,         Measure::running,      Measure::starts,
                                     Measure::oxygen_exposure};
/// "time_to_target" and so on.
std::string_view measure_name(Measure measure);

/// What came of one candidate.
struct Strategy {
    std::string name;
    bool all_met = false;     ///< target and fill limits
    bool target_met = false;  ///< on every riser
    bool fills_met = false;
    plant::TargetAt target_at = plant::TargetAt::everywhere;  ///< what its target asks for
    std::optional<double>
        space_error;  ///< how far the cutting into cells may still move the time to target [s]
    /// In the order of `measures`: [s], [s], standard [m3], [J], [s], number, and 1 for piping full of air.
    /// None where it was not reached or is not known.
    std::array<std::optional<double>, measures.size()> values;
    std::vector<outcome::Message> messages;
};

/// A value that is not the same in all candidates; none where a candidate has no such key.
struct Difference {
    std::string key;
    std::vector<std::optional<Field>> values;  ///< one per candidate
};

/// Strategies side by side.
struct Comparison {
    std::vector<Strategy> strategies;
    std::vector<Difference> differences;  ///< titles apart
    /// The best candidate for each measure: among those that meet the target where any does. None where
    /// another comes within 0.1 % of it, or none is known.
    std::array<std::optional<std::size_t>, measures.size()> best;
};

/// How to run a comparison.
struct CompareOptions {
    /// Called now and then, within long runs too, with the number of runs done and of all; return false to
    /// stop with an Error.
    std::function<bool(std::size_t, std::size_t)> progress;
};

/// Runs two or more plants and sets them side by side. Throws InputError for fewer, or an impossible one.
Comparison compare(std::span<const Candidate> candidates, const CompareOptions& options = {});

/// Values in which plants differ.
std::vector<Difference> differences(std::span<const Candidate> candidates);

/// Oxygen that the steel saw over a run, relative to the same piping at the same pressure full of air
/// (model.md section 11): time integral of its partial pressure, weighted by volume. Needs the outcome's
/// history; its points decide the accuracy. Zero for an empty history.
double oxygen_exposure(const plant::Plant& plant, const outcome::Outcome& outcome);

}  // namespace oxfade::study
