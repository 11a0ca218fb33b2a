#pragma once

#include <functional>
#include <vector>

#include "oxfade/outcome/outcome.hpp"
#include "oxfade/plant/plant.hpp"

namespace oxfade::study {

/// How to look for remedies.
struct RemedyOptions {
    double relative_tolerance = 1e-6;
    double refinement = 0.5;    ///< of the cells, as in engine::Options
    double longest_over = 4.0;  ///< runs last so many times the plant's duration
    /// Called now and then with the number of runs done and of all; return false to stop with an Error.
    std::function<bool(std::size_t, std::size_t)> progress;
};

/// What would bring the risers that miss their target there, and when: vents at the far ends of their slowest
/// branch lines, of every second one, of all; pressure cycles over half and over most of the supervisory
/// pressure; more time. Each is one run of the whole plant, on fewer cells. Vents are made as small as keeps
/// the demand within what the separator makes. None where all risers meet their target, or where something
/// else has to be put right first: the purity, the source, a fill, a valve, water.
std::vector<outcome::Remedy> remedies(const plant::Plant& plant, const outcome::Outcome& outcome,
                                      const RemedyOptions& options = {});

/// The plant with one of them done. What does not fit it any more (a line split for its vents) is left alone.
plant::Plant with_remedy(const plant::Plant& plant, const outcome::Outcome& outcome,
                         const outcome::Remedy& remedy);

}  // namespace oxfade::study
