// The linearly implicit stepper by itself: order, stiffness, and its use through Boost.Odeint.
#include "engine/rosenbrock.hpp"

#include <Eigen/LU>
#include <boost/numeric/odeint/algebra/vector_space_algebra.hpp>
#include <boost/numeric/odeint/integrate/integrate_adaptive.hpp>
#include <boost/numeric/odeint/integrate/integrate_const.hpp>
#include <boost/numeric/odeint/stepper/controlled_runge_kutta.hpp>
#include <cmath>
#include <functional>

// After the above, whose templates it specialises.
#include <boost/numeric/odeint/external/eigen/eigen.hpp>

namespace {

using oxfade::engine::RosenbrockStepper;
using State = Eigen::VectorXd;
namespace odeint = boost::numeric::odeint;

/// A system with its Jacobian, or only with some approximation of it.
struct System {
    std::function<State(const State&)> rate;
    std::function<Eigen::MatrixXd(const State&)> jacobian;
    Eigen::PartialPivLU<Eigen::MatrixXd> factor{};

    void rates(double /*t*/, const State& x, State& dxdt) const { dxdt = rate(x); }
    const State* slope_in_time(double, const State&, const State&, double) const { return nullptr; }
    void prepare(const State& x, const State& /*dxdt*/, double shift) {
        factor.compute(shift * Eigen::MatrixXd::Identity(x.size(), x.size()) - jacobian(x));
    }
    void solve(const State& rhs, State& u) const { u = factor.solve(rhs); }
    void operator()(const State& x, State& dxdt, double t) const { rates(t, x, dxdt); }
};

State vector(double a, double b) {
    State x(2);
    x << a, b;
    return x;
}

/// x' = -x^2, y' = x y - y^2: from x = 1, y = 1/2 they follow x = 1/s, y = s/(3/2 + s^2/2), s = 1 + t.
System nonlinear(double trust_in_jacobian) {
    System system;
    system.rate = [](const State& x) { return vector(-x[0] * x[0], x[0] * x[1] - x[1] * x[1]); };
    system.jacobian = [trust_in_jacobian](const State& x) {
        Eigen::MatrixXd j(2, 2);
        j << -2.0 * x[0], 0.0, x[1], x[0] - 2.0 * x[1];
        return Eigen::MatrixXd(trust_in_jacobian * j);
    };
    return system;
}

State exact(double t) {
    const double s = 1.0 + t;
    return vector(1.0 / s, s / (1.5 + 0.5 * s * s));
}

double error_after(System system, int steps) {
    RosenbrockStepper stepper;
    State x = exact(0.0), error;
    const double end = 2.0, h = end / steps;
    for (int i = 0; i < steps; ++i) stepper.do_step(system, x, i * h, h, error);
    return (x - exact(end)).norm();
}

class RosenbrockOrder : public ::testing::TestWithParam<double> {};

TEST_P(RosenbrockOrder, IsThreeHoweverGoodTheJacobian) {
    const System system = nonlinear(GetParam());
    const double coarse = error_after(system, 80), fine = error_after(system, 160);
    EXPECT_NEAR(std::log2(coarse / fine), 3.0, 0.15);
    EXPECT_LT(fine, 1e-5);
}

INSTANTIATE_TEST_SUITE_P(TrustInJacobian, RosenbrockOrder, ::testing::Values(1.0, 0.9, 0.5, 0.0));

TEST(Rosenbrock, ErrorEstimateFallsWithTheThirdPowerOfTheStep) {
    const auto estimate = [](double h) {
        System system = nonlinear(1.0);
        State x = exact(0.0), error;
        RosenbrockStepper().do_step(system, x, 0.0, h, error);
        return error.norm();
    };
    EXPECT_NEAR(std::log2(estimate(0.02) / estimate(0.01)), 3.0, 0.2);
}

/// y' = -y^2 + g(t) with y = 2 + sin t, told of only a part of df/dt.
struct Driven {
    double trust_in_slope = 1.0;
    State slope{};

    static double force(double t) { return std::cos(t) + (2.0 + std::sin(t)) * (2.0 + std::sin(t)); }
    void rates(double t, const State& x, State& dxdt) const {
        dxdt = State::Constant(1, force(t) - x[0] * x[0]);
    }
    const State* slope_in_time(double t, const State&, const State&, double) {
        const double of_force = -std::sin(t) + 2.0 * (2.0 + std::sin(t)) * std::cos(t);
        slope = State::Constant(1, trust_in_slope * of_force);
        return &slope;
    }
    void prepare(const State& x, const State& /*dxdt*/, double shift) { diagonal = shift + 2.0 * x[0]; }
    void solve(const State& rhs, State& u) const { u = rhs / diagonal; }
    double diagonal = 1.0;
};

TEST(Rosenbrock, OrderIsThreeHoweverWellTheSlopeInTimeIsKnown) {
    const auto error_after = [](double trust, int steps) {
        Driven system{trust};
        RosenbrockStepper stepper;
        State x = State::Constant(1, 2.0), error;
        const double h = 3.0 / steps;
        for (int i = 0; i < steps; ++i) stepper.do_step(system, x, i * h, h, error);
        return std::abs(x[0] - 2.0 - std::sin(3.0));
    };
    for (const double trust : {1.0, 0.8, 0.0}) {
        const double coarse = error_after(trust, 160), fine = error_after(trust, 320);
        EXPECT_NEAR(std::log2(coarse / fine), 3.0, 0.2) << trust;
    }
}

TEST(Rosenbrock, TableIsConsistentAndStifflyAccurate) {
    // On x' = 1 with J = 0 a step is h; the error vanishes.
    System system{[](const State& x) { return State(State::Ones(x.size())); },
                  [](const State& x) { return Eigen::MatrixXd(Eigen::MatrixXd::Zero(x.size(), x.size())); }};
    State x = vector(0.0, 3.0), error;
    RosenbrockStepper().do_step(system, x, 0.0, 0.7, error);
    EXPECT_NEAR(x[0], 0.7, 1e-14);
    EXPECT_NEAR(x[1], 3.7, 1e-14);
    EXPECT_LT(error.norm(), 1e-14);
}

/// Prothero and Robinson: y' = lambda (y - sin t) + cos t, with t as a state; exact y = sin t.
System prothero_robinson(double lambda) {
    System system;
    system.rate = [lambda](const State& x) {
        return vector(1.0, lambda * (x[1] - std::sin(x[0])) + std::cos(x[0]));
    };
    system.jacobian = [lambda](const State& x) {
        Eigen::MatrixXd j = Eigen::MatrixXd::Zero(2, 2);
        j << 0.0, 0.0, -lambda * std::cos(x[0]) - std::sin(x[0]), lambda;
        return j;
    };
    return system;
}

TEST(Rosenbrock, StaysStableAndAccurateOnAStiffSystem) {
    for (const double lambda : {-1e3, -1e6, -1e9}) {
        System system = prothero_robinson(lambda);
        RosenbrockStepper stepper;
        State x = vector(0.0, 0.0), error;
        for (int i = 0; i < 100; ++i) stepper.do_step(system, x, 0.05 * i, 0.05, error);
        EXPECT_NEAR(x[1], std::sin(5.0), 2e-4) << lambda;
    }
}

TEST(Rosenbrock, DampsAStiffTransientAtOnce) {
    System system{[](const State& x) { return State(-1e10 * x); },
                  [](const State& x) {
                      return Eigen::MatrixXd(-1e10 * Eigen::MatrixXd::Identity(x.size(), x.size()));
                  }};
    State x = vector(1.0, -5.0), error;
    RosenbrockStepper().do_step(system, x, 0.0, 1.0, error);
    EXPECT_LT(x.norm(), 1e-8);  // L-stable
}

/// What Boost.Odeint's drivers ask for beside its Error Stepper concept: a step without error, systems by
/// reference, and the algebra named.
class OdeintStepper {
  public:
    using state_type = State;
    using deriv_type = State;
    using value_type = double;
    using time_type = double;
    using order_type = RosenbrockStepper::order_type;
    using stepper_category = odeint::explicit_error_stepper_tag;  // the only kind that has a controller
    using algebra_type = odeint::vector_space_algebra;
    using operations_type = odeint::default_operations;
    using resizer_type = odeint::initially_resizer;
    using wrapped_state_type = odeint::state_wrapper<State>;
    using wrapped_deriv_type = odeint::state_wrapper<State>;
    using stepper_type = OdeintStepper;

    static order_type order() { return RosenbrockStepper::order(); }
    static order_type stepper_order() { return RosenbrockStepper::stepper_order(); }
    static order_type error_order() { return RosenbrockStepper::error_order(); }

    void do_step(std::reference_wrapper<System> system, State& x, double t, double h) {
        stepper_.do_step(system.get(), x, t, h, error_);
    }
    void do_step(std::reference_wrapper<System> system, const State& x, const State& dxdt, double t,
                 State& out, double h, State& error) {
        stepper_.do_step(system.get(), x, dxdt, t, out, h, error);
    }
    template <class T>
    void adjust_size(const T&) {}
    algebra_type& algebra() { return algebra_; }

  private:
    RosenbrockStepper stepper_;
    algebra_type algebra_;
    State error_;
};

TEST(RosenbrockThroughOdeint, FixedSteps) {
    System system = nonlinear(1.0);
    State x = exact(0.0);
    int seen = 0;
    const auto steps = odeint::integrate_const(OdeintStepper{}, std::ref(system), x, 0.0, 2.0 + 1e-9, 0.0125,
                                               [&](const State&, double) { ++seen; });
    EXPECT_EQ(steps, 160u);
    EXPECT_EQ(seen, 161);
    EXPECT_NEAR((x - exact(2.0)).norm(), error_after(nonlinear(1.0), 160), 1e-12);
}

TEST(RosenbrockThroughOdeint, ControlledStepsKeepTheTolerance) {
    using Checker =
        odeint::default_error_checker<double, odeint::vector_space_algebra, odeint::default_operations>;
    using Controlled = odeint::controlled_runge_kutta<OdeintStepper, Checker>;
    for (const double tolerance : {1e-5, 1e-8}) {
        System system = prothero_robinson(-1e5);
        State x = vector(0.0, 0.0);
        Controlled controlled(Checker(tolerance, tolerance));
        const auto steps = odeint::integrate_adaptive(controlled, std::ref(system), x, 0.0, 5.0, 1e-3);
        EXPECT_NEAR(x[1], std::sin(5.0), 20.0 * tolerance);
        EXPECT_LT(steps, 5000u);  // an explicit method needs some 200 000
    }
}

}  // namespace
