#include <boost/numeric/odeint/algebra/vector_space_algebra.hpp>
#include <boost/numeric/odeint/stepper/runge_kutta_dopri5.hpp>

// After the above, whose templates it specialises.
#include <boost/numeric/odeint/external/eigen/eigen.hpp>

#include "engine/linearisation.hpp"
#include "engine/rosenbrock.hpp"
#include "engine/simulation.hpp"

namespace oxfade::engine {
namespace {

/// Order 3(2), linearly implicit: fit for the stiff balance between receiver and riser during a fill, for
/// mixing between short compartments, and for the long quiet stretches between two events.
class LinearlyImplicit : public StepMethod {
  public:
    explicit LinearlyImplicit(const Dynamics& dynamics)
        : system_{dynamics, dynamics.linearise(), dynamics.make_flows(), nullptr, {}} {}

    void step(DenseStep& dense, const Flows& flows, State& error) override {
        system_.flows_at_start = &flows;
        system_.scratch.within_step = true;
        stepper_.do_step(system_, dense.x0, dense.f0, dense.begin, dense.x1, dense.size, error);
    }

  private:
    struct System {
        const Dynamics& dynamics;
        std::unique_ptr<Linearisation> linear;
        Flows scratch;
        const Flows* flows_at_start;
        State slope;

        void rates(double t, const State& x, State& dxdt) { dynamics.rates(t, x, dxdt, scratch); }
        /// Across a part of the step: the method keeps its order whatever stands here, and wants to know
        /// where the temperature goes.
        const State* slope_in_time(double t, const State& x, const State& dxdt, double dt) {
            if (!dynamics.network().moving) return nullptr;
            constexpr double part = 0.01;
            slope.resize(x.size());
            dynamics.rates(t + part * dt, x, slope, scratch);
            slope = (slope - dxdt) / (part * dt);
            return &slope;
        }
        void prepare(const State& x, const State& dxdt, double shift) {
            linear->prepare(x, *flows_at_start, shift, &dxdt);
        }
        void solve(const State& rhs, State& u) { linear->solve(rhs, u); }
    };
    System system_;
    RosenbrockStepper stepper_;
};

/// Boost.Odeint's Dormand-Prince pair, to check the other against: explicit, so slow where the system is
/// stiff.
class DormandPrince : public StepMethod {
  public:
    explicit DormandPrince(const Dynamics& dynamics) : dynamics_(dynamics), scratch_(dynamics.make_flows()) {}

    void step(DenseStep& dense, const Flows&, State& error) override {
        const auto system = [this](const State& x, State& dxdt, double time) {
            dynamics_.rates(time, x, dxdt, scratch_);
        };
        for (State* s : {&dense.x1, &dense.f1, &error}) s->resize(dense.x0.size());
        stepper_.do_step(system, dense.x0, dense.f0, dense.begin, dense.x1, dense.f1, dense.size, error);
    }

  private:
    const Dynamics& dynamics_;
    Flows scratch_;
    boost::numeric::odeint::runge_kutta_dopri5<State, double, State, double,
                                               boost::numeric::odeint::vector_space_algebra>
        stepper_;
};

}  // namespace

std::unique_ptr<StepMethod> make_step_method(Method method, const Dynamics& dynamics) {
    if (method == Method::dormand_prince) return std::make_unique<DormandPrince>(dynamics);
    return std::make_unique<LinearlyImplicit>(dynamics);
}

}  // namespace oxfade::engine
