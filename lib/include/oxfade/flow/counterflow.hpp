#pragma once
namespace oxfade::flow {
struct CounterFlowPipe { double radius = 0.0, sine = 0.0, cosine = 1.0; };
struct CounterFlowGas { double reduced_gravity = 0.0, diffusivity = 0.0, kinematic_viscosity = 0.0, other_gradient = 0.0; };
struct CounterFlowExchange { double spread = 0.0, slope = 0.0; };
inline CounterFlowExchange counter_flow(const CounterFlowPipe& p, const CounterFlowGas& g, double gradient, double) {
    const double a2 = p.radius * p.radius;
    const double ra = g.reduced_gravity * gradient * a2 * a2 / (g.kinematic_viscosity * g.diffusivity) * p.cosine;
    const double b = g.diffusivity * 7.0 / 46080.0 * ra * ra;
    return {g.diffusivity + b, g.diffusivity + 3.0 * b};
}
}
