#include "study/quantiles.hpp"

#include <boost/math/distributions/binomial.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/triangular.hpp>

namespace oxfade::study::detail {

double normal_quantile(double mean, double deviation, double probability) {
    return boost::math::quantile(boost::math::normal(mean, deviation), probability);
}

double normal_below(double mean, double deviation, double x) {
    return boost::math::cdf(boost::math::normal(mean, deviation), x);
}

double triangular_quantile(double low, double mode, double high, double probability) {
    return boost::math::quantile(boost::math::triangular(low, mode, high), probability);
}

double binomial_quantile(double trials, double chance, double probability) {
    return boost::math::quantile(boost::math::binomial(trials, chance), probability);
}

}  // namespace oxfade::study::detail
