#pragma once

#include "oxfade/engine/ensemble.hpp"

/// How far the cutting of pipes into cells moves a result, and what moves it that nobody knows exactly.
namespace oxfade::engine {

/// Headline numbers of a run at a refinement, without history.
Trial trial_at(const plant::Plant& plant, Options options, double refinement);

/// A refinement, and what is known of the result at half of it.
struct Refinement {
    double value = 1.0;
    bool compared = false;
    Trial half;  ///< at half of it, where compared; empty until then
    int half_cells = 0;
};
/// The one to begin with: as Options::refinement says, or the usual one, to be compared with half of it.
Refinement first_refinement(const plant::Plant& plant, const Options& options);
/// Runs at half of the refinement.
void compare_with_half(const plant::Plant& plant, const Options& options, Refinement& refinement);
/// Whether to run again at twice the refinement, which is then set, after what a run at this one gave.
bool refine(const plant::Plant& plant, const Trial& run, int cells, Refinement& refinement);

/// Puts what the comparison says beside the results.
void add_space_error(const Refinement& refinement, outcome::Outcome& out);

/// Runs the plant with leaks elsewhere, other mouths and colder and warmer ends, at half of the refinement.
/// Times are scaled by what half of the cells give for the plant itself.
void add_variations(const plant::Plant& plant, const Options& options, const Refinement& refinement,
                    outcome::Outcome& out);

}  // namespace oxfade::engine
