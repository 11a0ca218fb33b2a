#include "oxfade/flow/pipe_friction.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "oxfade/gas/transport.hpp"

namespace oxfade::flow {
namespace {

/// Largest p1/p2 that still raises the flow when acceleration counts: r^2 - 1 = K + 2 ln r.
double choking_ratio(double resistance) {
    double ratio = std::sqrt(1.0 + resistance + std::log1p(resistance));
    for (int i = 0; i < 60; ++i) {
        const double residual = ratio * ratio - 1.0 - resistance - 2.0 * std::log(ratio);
        const double step = residual / (2.0 * ratio - 2.0 / ratio);
        ratio -= step;
        if (std::abs(step) <= 1e-15 * ratio) break;
    }
    return ratio;
}

/// Colebrook's equation differentiated: `(1 + 2 (2.51/Re) / (ln 10 y)) x' = 2 (2.51/Re) x / (ln 10 y Re)` for
/// x = 1/sqrt(f), y the argument of its logarithm.
FrictionFactor colebrook_with_slope(double reynolds, double relative_roughness) {
    const double factor = colebrook_friction_factor(reynolds, relative_roughness);
    const double x = 1.0 / std::sqrt(factor), smooth = 2.51 / reynolds;
    const double gain = 2.0 * smooth / (std::numbers::ln10 * (relative_roughness / 3.7 + smooth * x));
    const double slope_of_x = gain * x / (reynolds * (1.0 + gain));
    return {factor, -2.0 * factor * slope_of_x / x};
}

}  // namespace

double reynolds_number(double molar_flow, double molar_mass, double bore, double viscosity) {
    return 4.0 * molar_mass * molar_flow / (std::numbers::pi * bore * viscosity);
}

double haaland_friction_factor(double reynolds, double relative_roughness) {
    const double root = -1.8 * std::log10(std::pow(relative_roughness / 3.7, 1.11) + 6.9 / reynolds);
    return 1.0 / (root * root);
}

double colebrook_friction_factor(double reynolds, double relative_roughness) {
    const double rough = relative_roughness / 3.7, smooth = 2.51 / reynolds;
    double x = 1.0 / std::sqrt(haaland_friction_factor(reynolds, relative_roughness));
    for (int i = 0; i < 30; ++i) {
        const double inside = rough + smooth * x;
        const double residual = x + 2.0 * std::log10(inside);
        const double slope = 1.0 + 2.0 * smooth / (std::numbers::ln10 * inside);
        const double step = residual / slope;
        x -= step;
        if (std::abs(step) < 1e-14 * x) break;
    }
    return 1.0 / (x * x);
}

double friction_factor(double reynolds, double relative_roughness) {
    return friction_factor_with_slope(reynolds, relative_roughness).value;
}

FrictionFactor friction_factor_with_slope(double reynolds, double relative_roughness) {
    const FrictionFactor laminar{64.0 / reynolds, -64.0 / (reynolds * reynolds)};
    if (reynolds <= laminar_below) return laminar;
    const FrictionFactor turbulent = colebrook_with_slope(reynolds, relative_roughness);
    if (reynolds >= turbulent_above) return turbulent;
    constexpr double width = turbulent_above - laminar_below;
    const double u = (reynolds - laminar_below) / width;
    const double weight = u * u * (3.0 - 2.0 * u), weight_slope = 6.0 * u * (1.0 - u) / width;
    return {(1.0 - weight) * laminar.value + weight * turbulent.value,
            (1.0 - weight) * laminar.slope + weight * turbulent.slope +
                weight_slope * (turbulent.value - laminar.value)};
}

double isothermal_pipe_flow(double resistance, double bore, double upstream, double downstream,
                            double temperature, double molar_mass, Acceleration acceleration) {
    if (!(upstream > downstream)) return 0.0;
    double end = std::max(downstream, 0.0);
    double total = resistance;
    if (acceleration == Acceleration::counted) {
        end = std::max(end, upstream / choking_ratio(resistance));
        total += 2.0 * std::log(upstream / end);
    }
    const double area = std::numbers::pi / 4.0 * bore * bore;
    const double drive = (upstream - end) * (upstream + end);
    return area * std::sqrt(drive / (molar_mass * gas::gas_constant * temperature * total));
}

double isothermal_pipe_flow(const PipeRun& pipe, double upstream, double downstream, double temperature,
                            const gas::Mixture& mixture, Acceleration acceleration) {
    if (!(upstream > downstream)) return 0.0;
    const double molar_mass = mixture.molar_mass();
    const double mu = gas::viscosity(mixture, temperature);
    const auto flow_for = [&](double factor) {
        return isothermal_pipe_flow(factor * pipe.length / pipe.bore + pipe.losses, pipe.bore, upstream,
                                    downstream, temperature, molar_mass, acceleration);
    };
    const auto excess = [&](double log_flow) {
        const double flow = std::exp(log_flow);
        const double reynolds = reynolds_number(flow, molar_mass, pipe.bore, mu);
        return log_flow - std::log(flow_for(friction_factor(reynolds, pipe.roughness / pipe.bore)));
    };
    // The excess rises with the flow but where the factor jumps up with Re in transition; a bracket is safe.
    double low = std::log(flow_for(1e6)), high = std::log(flow_for(1e-4));
    while (excess(low) > 0.0) low -= 5.0;
    while (excess(high) < 0.0) high += 1.0;
    double f_low = excess(low), f_high = excess(high);
    for (int i = 0; i < 200 && high - low > 1e-13; ++i) {
        double middle = low - f_low * (high - low) / (f_high - f_low);
        const double width = high - low;
        if (i % 3 == 2 || !(middle > low && middle < high)) middle = low + 0.5 * width;
        const double f_middle = excess(middle);
        if (f_middle == 0.0) return std::exp(middle);
        (f_middle < 0.0 ? low : high) = middle;
        (f_middle < 0.0 ? f_low : f_high) = f_middle;
    }
    return std::exp(0.5 * (low + high));
}

}  // namespace oxfade::flow
