#pragma once

#include <memory>

#include "engine/cruise_stepper.hpp"
#include "engine/dynamics.hpp"
#include "engine/linearisation.hpp"
#include "engine/rosenbrock.hpp"

namespace oxfade::engine {

/// Implicit steps of the cruise where compartments mix or piping has loops: those of the run itself, with the
/// full Jacobian over the trees, but not held up by the source's cycles.
class CruiseSteps : public CruiseStepper {
  public:
    CruiseSteps(const Dynamics& dynamics, double relative_tolerance);

    void lay_out(const SeriesView<double>&, const std::vector<double>&) override {}
    void take(const SeriesView<double>& view, const std::vector<double>& riser_moles) override;
    CruiseSurvey start(SeriesView<double>& view) override;
    void add_totals(double t, std::vector<double>& totals) const override;
    void carry(double t, SeriesView<double>& view, const std::vector<double>& moles,
               double* exposure) override;
    /// The inverse of the greatest mean age that gas would have in the changed nodes.
    double slowest_decay(const SeriesView<double>& view, const std::vector<double>& change) const override;

  private:
    double attempt(SeriesView<double>& view, double size) override;
    void settle(SeriesView<double>& view) override;
    /// As RosenbrockStepper asks for.
    struct System {
        const CruiseSteps& steps;
        Linearisation& linear;
        const Flows& flows_at_start;
        Flows& scratch;
        void rates(double, const State& x, State& dxdt) { steps.rates(x, dxdt, scratch); }
        static const State* slope_in_time(double, const State&, const State&, double) { return nullptr; }
        void prepare(const State& x, const State& dxdt, double shift) {
            linear.prepare(x, flows_at_start, shift, &dxdt);
        }
        void solve(const State& rhs, State& u) { linear.solve(rhs, u); }
    };
    void rates(const State& x, State& dxdt, Flows& flows) const;
    void source_rates(State& dxdt, const Flows& flows) const;
    void take_source(const SeriesView<double>& view);
    double error_norm() const;
    static double drawn(const Flows& flows);

    const Dynamics& dynamics_;
    const Network& net_;
    const Layout& layout_;
    double tolerance_;
    std::unique_ptr<Linearisation> linear_;
    RosenbrockStepper stepper_;
    bool steady_ = false, rates_known_ = false;
    bool taken_ = false;                  ///< what was taken over may be on the other side of the target
    double made_ = 0.0, made_air_ = 0.0;  ///< by the source [mol/s]
    double size_ = 1.0;
    State x_, f_, x1_, f1_, error_;
    Flows flows_, flows1_, scratch_;  ///< at x, at x1
    mutable TreeMatrix ages_;
};

}  // namespace oxfade::engine
