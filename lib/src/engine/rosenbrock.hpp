#pragma once

#include <Eigen/Core>
#include <array>
#include <boost/numeric/odeint/stepper/stepper_categories.hpp>
#include <cstddef>

namespace oxfade::engine {

/// Coefficients of a Rosenbrock method in the form that needs no matrix-vector products
/// (Hairer and Wanner, Solving Ordinary Differential Equations II, section IV.7, eq. 7.25).
struct RosenbrockTable {
    static constexpr std::size_t stages = 4;
    double gamma = 0.0;
    std::array<std::array<double, stages>, stages> a{}, c{};
    std::array<double, stages> m{};                   ///< weights of the solution
    std::array<double, stages> e{};                   ///< weights of the error estimate
    std::array<double, stages> alpha{}, gamma_sum{};  ///< where in time a stage is; weight of df/dt in it
};

/// ROS34PW2: order 3 (embedded 2) for any approximation of the Jacobian, stiffly accurate, L-stable
/// (Rang and Angermann, BIT Numer. Math. 45, 2005, Table 4.2).
const RosenbrockTable& ros34pw2();

/// One linearly implicit step. Models the Error Stepper concept of Boost.Odeint with a system that can also
/// be linearised:
///     void rates(double t, const State& x, State& dxdt);
///     const State* slope_in_time(double t, const State& x, const State& dxdt, double dt);  // df/dt, or null
///     void prepare(const State& x, const State& dxdt, double shift);  // factorise shift I - J(x)
///     void solve(const State& rhs, State& u);         // (shift I - J) u = rhs
class RosenbrockStepper {
  public:
    using state_type = Eigen::VectorXd;
    using deriv_type = Eigen::VectorXd;
    using value_type = double;
    using time_type = double;
    using order_type = unsigned short;
    using stepper_category = boost::numeric::odeint::error_stepper_tag;

    static constexpr order_type order() { return 3; }
    static constexpr order_type stepper_order() { return 3; }
    static constexpr order_type error_order() { return 2; }

    /// x(t) -> x(t + dt) in place, with the difference to the embedded solution in `error`.
    template <class System>
    void do_step(System& system, state_type& x, time_type t, time_type dt, state_type& error) {
        rates_.resize(x.size());
        system.rates(t, x, rates_);
        do_step(system, x, rates_, t, next_, dt, error);
        x = next_;
    }

    /// The same out of place, with the rates at the start given.
    template <class System>
    void do_step(System& system, const state_type& x, const deriv_type& dxdt, time_type time, state_type& out,
                 time_type dt, state_type& error) {
        constexpr std::size_t stages = RosenbrockTable::stages;
        const RosenbrockTable& t = ros34pw2();
        const state_type* slope = system.slope_in_time(time, x, dxdt, dt);
        for (auto* v : {&at_, &rhs_, &out, &error}) v->resize(x.size());
        system.prepare(x, dxdt, 1.0 / (dt * t.gamma));
        for (std::size_t i = 0; i < stages; ++i) {
            if (i == 0) {
                rhs_ = dxdt;
            } else {
                at_ = x;
                for (std::size_t j = 0; j < i; ++j) {
                    if (t.a[i][j] != 0.0) at_ += t.a[i][j] * u_[j];
                }
                system.rates(time + t.alpha[i] * dt, at_, rhs_);
                for (std::size_t j = 0; j < i; ++j) rhs_ += (t.c[i][j] / dt) * u_[j];
            }
            if (slope != nullptr) rhs_ += (t.gamma_sum[i] * dt) * *slope;
            u_[i].resize(x.size());
            system.solve(rhs_, u_[i]);
        }
        out = x;
        error.setZero();
        for (std::size_t i = 0; i < stages; ++i) {
            out += t.m[i] * u_[i];
            error += t.e[i] * u_[i];
        }
    }

  private:
    std::array<state_type, RosenbrockTable::stages> u_;
    state_type at_, rhs_, rates_, next_;
};

}  // namespace oxfade::engine
