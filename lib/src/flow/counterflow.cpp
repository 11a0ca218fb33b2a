#define OXFADE_ISA one_number
#include "oxfade/flow/counterflow.hpp"

#include "flow/counterflow_law.hpp"

namespace oxfade::flow {

CounterFlowExchange counter_flow(const CounterFlowPipe& pipe, const CounterFlowGas& gas, double gradient,
                                 double contrast, double* known, CounterFlowSlopes slopes) noexcept {
    const one_number::CounterFlowCase<double> c{pipe.radius,
                                                1.0 / pipe.radius,
                                                pipe.sine,
                                                pipe.cosine,
                                                gas.reduced_gravity,
                                                gas.diffusivity,
                                                1.0 / gas.diffusivity,
                                                gas.kinematic_viscosity,
                                                gas.other_gradient,
                                                gradient,
                                                contrast};
    double speed = known ? *known : 0.0;
    const auto r = slopes == CounterFlowSlopes::wanted
                       ? one_number::counter_flow_result<double, true>(c, speed)
                       : one_number::counter_flow_result<double, false>(c, speed);
    if (known) *known = speed;
    return {r.spread, r.slope, r.contrast_slope};
}

}  // namespace oxfade::flow
