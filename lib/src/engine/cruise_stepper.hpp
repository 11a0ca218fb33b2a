#pragma once

#include <cstddef>
#include <vector>

#include "engine/lanes/kernels.hpp"
#include "engine/step_control.hpp"

namespace oxfade::engine {

/// The least rate at which a change in the compositions of some nodes dies out where nothing mixes [1/s]: a
/// triangle has its diagonal for eigenvalues.
double slowest_rate(const SeriesView<double>& view, const std::vector<double>& change);

/// Implicit steps of the cruise, in place of series: it holds the compositions, and hands each step to the
/// view as cubics in time, as in DenseStep. Balances are kept.
class CruiseStepper {
  public:
    virtual ~CruiseStepper() = default;

    /// Takes in what is open: the strengths in the view, and the share of each node's outflow that goes
    /// through vents.
    virtual void lay_out(const SeriesView<double>& view, const std::vector<double>& vent_part) = 0;
    /// Takes over the compositions in the view, and how much gas each riser holds.
    virtual void take(const SeriesView<double>& view, const std::vector<double>& riser_moles) = 0;
    /// Flows at the state held, into the view.
    virtual CruiseSurvey start(SeriesView<double>& view) = 0;
    /// Puts cubics into the view for a step as long as asked for or as the tolerance allows, and says how
    /// long that is [s]. start() must have been called.
    double step(SeriesView<double>& view, double size);
    /// As StepControl.
    void turn(std::size_t leg) { control_.turn(leg); }
    /// Nodes that may cross the target within the step, or have in what was taken over.
    const std::vector<int>& near_target() const { return near_target_; }
    /// Adds what left by a time within the step to the first totals, four a riser.
    virtual void add_totals(double t, std::vector<double>& totals) const = 0;
    /// Moves the view's compositions to that time, and adds to the integrals of the air in each node.
    virtual void carry(double t, SeriesView<double>& view, const std::vector<double>& moles,
                       double* exposure) = 0;
    /// As slowest_rate(), mixing included.
    virtual double slowest_decay(const SeriesView<double>& view, const std::vector<double>& change) const {
        return slowest_rate(view, change);
    }

  protected:
    /// Tries a step; its error over what is allowed.
    virtual double attempt(SeriesView<double>& view, double size) = 0;
    /// The step last tried is taken: its end, and the cubics.
    virtual void settle(SeriesView<double>& view) = 0;

    std::vector<int> near_target_;

  private:
    StepControl control_;
};

/// Coefficients of t^2 and t^3 of Hermite's cubic.
struct Bend {
    double square, cube;
};
inline Bend bend(double rise, double d0, double d1, double size) {
    const double slope = rise / size;
    return {(3.0 * slope - 2.0 * d0 - d1) / size, (d0 + d1 - 2.0 * slope) / (size * size)};
}

}  // namespace oxfade::engine
