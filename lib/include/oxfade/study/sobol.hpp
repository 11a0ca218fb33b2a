#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

/// Which of several independent unknowns a result depends on most: variance-based indices.
namespace oxfade::study {

/// A number in (0, 1) that looks random and depends on its place alone: SplitMix64 (Steele, Lea and Flood,
/// OOPSLA 2014) over seed, row and column.
double uniform_at(std::uint64_t seed, std::uint64_t row, std::uint64_t column);

/// The design of a study of `unknowns` independent unknowns: each row holds runs A, B and, for each
/// unknown i, A with its column i taken from B (Saltelli et al. 2010, section 4).
struct SobolDesign {
    std::size_t unknowns = 0;
    std::size_t rows = 0;
    std::uint64_t seed = 0;

    std::size_t runs_per_row() const { return unknowns + 2; }
    std::size_t runs() const { return rows * runs_per_row(); }
    /// The coordinate in (0, 1) of an unknown in a run; runs of a row follow each other: A, B, then the mixed
    /// ones.
    double coordinate(std::size_t run, std::size_t unknown) const;
};

/// Share of a result's variance that an unknown explains.
struct SobolIndex {
    double first = 0.0;        ///< by itself
    double first_error = 0.0;  ///< standard error
    double total = 0.0;        ///< with all its interplay with others
    double total_error = 0.0;
};

/// First-order and total indices from the results of a design's runs, in their order: Saltelli's estimator
/// about the mean and Jansen's (Saltelli et al., Comput. Phys. Commun. 181, 2010, Table 2, b and f).
/// Errors by bootstrap over rows, `resamples` times. Rows with a value that is not finite are left out.
/// Empty when fewer than two rows are left or the results do not vary.
std::vector<SobolIndex> sobol_indices(const SobolDesign& design, std::span<const double> results,
                                      int resamples = 500);

}  // namespace oxfade::study
