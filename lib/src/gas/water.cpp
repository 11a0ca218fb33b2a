#include "oxfade/gas/water.hpp"

#include <array>
#include <cmath>
#include <stdexcept>

namespace oxfade::gas {
namespace {

/// IAPWS-IF97, Table 34.
constexpr std::array<double, 10> n{
    0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.12020824702470e5, -0.32325550322333e7,
    0.14915108613530e2, -0.48232657361591e4, 0.40511340542057e6,  -0.23855557567849,  0.65017534844798e3};
constexpr double megapascal = 1e6;
constexpr double rounding = 1e-6;  // [K], so that 0 degC converted from another unit is inside

/// ln(p/p_t) over ice and its slope against temperature.
struct IceLogarithm {
    double value;
    double slope;
};
IceLogarithm ice_logarithm(double temperature) {
    constexpr std::array<double, 3> a{-0.212144006e2, 0.273203819e2, -0.610598130e1};
    constexpr std::array<double, 3> b{0.333333333e-2, 0.120666667e1, 0.170333333e1};
    const double theta = temperature / water_triple_temperature;
    IceLogarithm result{0.0, 0.0};
    for (std::size_t i = 0; i < a.size(); ++i) {
        const double term = a[i] * std::pow(theta, b[i] - 1.0);
        result.value += term;
        result.slope += term * (b[i] - 1.0) / temperature;
    }
    return result;
}

}  // namespace

double saturation_pressure_over_water(double temperature) {
    if (!(temperature >= 273.15 - rounding && temperature <= 647.096)) {
        throw std::domain_error("saturation over water: temperature must lie between 273.15 K and 647.096 K");
    }
    const double t = temperature + n[8] / (temperature - n[9]);
    const double a = t * t + n[0] * t + n[1];
    const double b = n[2] * t * t + n[3] * t + n[4];
    const double c = n[5] * t * t + n[6] * t + n[7];
    const double root = 2.0 * c / (-b + std::sqrt(b * b - 4.0 * a * c));
    return megapascal * root * root * root * root;
}

double saturation_pressure_over_ice(double temperature) {
    if (!(temperature >= 50.0 && temperature <= water_triple_temperature)) {
        throw std::domain_error("saturation over ice: temperature must lie between 50 K and 273.16 K");
    }
    return water_triple_pressure * std::exp(ice_logarithm(temperature).value);
}

double saturation_pressure(double temperature) {
    return temperature < water_triple_temperature ? saturation_pressure_over_ice(temperature)
                                                  : saturation_pressure_over_water(temperature);
}

double dew_point(double vapour_pressure) {
    if (!(vapour_pressure >= 611.213 && vapour_pressure <= 22.064e6)) {
        throw std::domain_error("dew point: vapour pressure must lie between 611.213 Pa and 22.064 MPa");
    }
    const double beta = std::pow(vapour_pressure / megapascal, 0.25);
    const double e = beta * beta + n[2] * beta + n[5];
    const double f = n[0] * beta * beta + n[3] * beta + n[6];
    const double g = n[1] * beta * beta + n[4] * beta + n[7];
    const double d = 2.0 * g / (-f - std::sqrt(f * f - 4.0 * e * g));
    const double sum = n[9] + d;
    return 0.5 * (sum - std::sqrt(sum * sum - 4.0 * (n[8] + n[9] * d)));
}

double frost_point(double vapour_pressure) {
    if (!(vapour_pressure >= 1e-9 && vapour_pressure <= water_triple_pressure * (1.0 + 1e-9))) {
        throw std::domain_error("frost point: vapour pressure must lie between 1e-9 Pa and 611.657 Pa");
    }
    const double wanted = std::log(vapour_pressure / water_triple_pressure);
    // The logarithm is nearly linear in 1/T: Newton's method in 1/T, from the heat of sublimation.
    double inverse = 1.0 / water_triple_temperature - wanted / 6140.0;
    for (int i = 0; i < 50; ++i) {
        const double temperature = 1.0 / inverse;
        const IceLogarithm now = ice_logarithm(temperature);
        const double step = (now.value - wanted) / (now.slope * temperature * temperature);
        inverse += step;
        if (std::abs(step) < 1e-15 * inverse) break;
    }
    return 1.0 / inverse;
}

double water_density(double temperature) {
    const double t = temperature - 273.15;
    if (!(t >= -rounding && t <= 100.0 + rounding)) {
        throw std::domain_error("water density: temperature must lie between 273.15 K and 373.15 K");
    }
    constexpr std::array<double, 6> a{999.83952,     16.945176,    -7.9870401e-3,
                                      -46.170461e-6, 105.56302e-9, -280.54253e-12};
    double sum = 0.0;
    for (std::size_t i = a.size(); i-- > 0;) sum = sum * t + a[i];
    return sum / (1.0 + 16.879850e-3 * t);
}

}  // namespace oxfade::gas
