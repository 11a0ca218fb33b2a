#include "oxfade/study/sobol.hpp"

#include <algorithm>
#include <cmath>

namespace oxfade::study {
namespace {

std::uint64_t scramble(std::uint64_t z) {
    z += 0x9E3779B97F4A7C15U;
    z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9U;
    z = (z ^ (z >> 27U)) * 0x94D049BB133111EBU;
    return z ^ (z >> 31U);
}

/// First-order and total index of each unknown, over chosen rows.
class Estimator {
  public:
    Estimator(const SobolDesign& design, std::span<const double> results)
        : width_(design.runs_per_row()), results_(results) {
        for (std::size_t row = 0; row < design.rows; ++row) {
            const auto runs = row_at(row);
            const bool sound =
                std::all_of(runs.begin(), runs.end(), [](double y) { return std::isfinite(y); });
            if (sound) rows_.push_back(row);
        }
    }

    const std::vector<std::size_t>& rows() const { return rows_; }

    /// False when the results do not vary.
    bool estimate(const std::vector<std::size_t>& rows, std::vector<SobolIndex>& out) const {
        const double count = static_cast<double>(rows.size());
        double sum = 0.0, least = INFINITY, most = -INFINITY;
        for (const std::size_t row : rows) {
            for (const double y : row_at(row).first(2)) {
                sum += y;
                least = std::min(least, y);
                most = std::max(most, y);
            }
        }
        if (!(most > least)) return false;
        const double mean = sum / (2.0 * count);
        double variance = 0.0;
        std::vector<double> first(width_ - 2), total(width_ - 2);
        for (const std::size_t row : rows) {
            const auto y = row_at(row);
            variance += (y[0] - mean) * (y[0] - mean) + (y[1] - mean) * (y[1] - mean);
            for (std::size_t i = 0; i + 2 < width_; ++i) {
                first[i] += (y[1] - mean) * (y[i + 2] - y[0]);
                total[i] += (y[0] - y[i + 2]) * (y[0] - y[i + 2]);
            }
        }
        variance /= 2.0 * count;
        for (std::size_t i = 0; i + 2 < width_; ++i) {
            out[i].first = first[i] / (count * variance);
            out[i].total = total[i] / (2.0 * count * variance);
        }
        return true;
    }

  private:
    std::span<const double> row_at(std::size_t row) const { return results_.subspan(row * width_, width_); }

    std::size_t width_;
    std::span<const double> results_;
    std::vector<std::size_t> rows_;
};

double deviation(const std::vector<double>& sample) {
    double mean = 0.0, sum = 0.0;
    for (const double x : sample) mean += x / static_cast<double>(sample.size());
    for (const double x : sample) sum += (x - mean) * (x - mean);
    return std::sqrt(sum / static_cast<double>(sample.size() - 1));
}

}  // namespace

double uniform_at(std::uint64_t seed, std::uint64_t row, std::uint64_t column) {
    const std::uint64_t bits = scramble(scramble(scramble(seed) ^ row) ^ column);
    return (static_cast<double>(bits >> 11U) + 0.5) * 0x1.0p-53;
}

double SobolDesign::coordinate(std::size_t run, std::size_t unknown) const {
    const std::size_t row = run / runs_per_row(), block = run % runs_per_row();
    const bool from_b = block == 1 || block == unknown + 2;
    return uniform_at(seed, row, unknown + (from_b ? unknowns : 0));
}

std::vector<SobolIndex> sobol_indices(const SobolDesign& design, std::span<const double> results,
                                      int resamples) {
    const Estimator estimator(design, results);
    const std::vector<std::size_t>& rows = estimator.rows();
    std::vector<SobolIndex> indices(design.unknowns);
    if (rows.size() < 2 || !estimator.estimate(rows, indices)) return {};
    std::vector<std::vector<double>> first(design.unknowns), total(design.unknowns);
    std::vector<SobolIndex> again(design.unknowns);
    std::vector<std::size_t> picked(rows.size());
    for (int k = 0; k < resamples; ++k) {
        for (std::size_t j = 0; j < rows.size(); ++j) {
            const double u = uniform_at(design.seed + 1, static_cast<std::uint64_t>(k), j);
            picked[j] = rows[static_cast<std::size_t>(u * static_cast<double>(rows.size()))];
        }
        if (!estimator.estimate(picked, again)) continue;
        for (std::size_t i = 0; i < design.unknowns; ++i) {
            first[i].push_back(again[i].first);
            total[i].push_back(again[i].total);
        }
    }
    for (std::size_t i = 0; i < design.unknowns; ++i) {
        if (first[i].size() < 2) continue;
        indices[i].first_error = deviation(first[i]);
        indices[i].total_error = deviation(total[i]);
    }
    return indices;
}

}  // namespace oxfade::study
