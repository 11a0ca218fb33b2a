#pragma once

/// Quantiles of distributions, apart from what uses them: their header is a large one.
namespace oxfade::study::detail {

double normal_quantile(double mean, double deviation, double probability);
double normal_below(double mean, double deviation, double x);  ///< probability of less
double triangular_quantile(double low, double mode, double high, double probability);
/// Successes of `trials` that each succeed with this chance.
double binomial_quantile(double trials, double chance, double probability);

}  // namespace oxfade::study::detail
