#pragma once

#include <vector>

#include "engine/cruise_stepper.hpp"
#include "engine/network.hpp"

namespace oxfade::engine {

/// Implicit steps of the cruise, for compartments so short-lived that series would have to be many.
///
/// Rosenbrock's method of rosenbrock.hpp on the compositions, the receiver and the totals at once. Its
/// Jacobian leaves out that flows depend on composition, so it is a triangle: one sweep outward along the
/// trees solves it, whatever their size. Over a step everything is a cubic in time, as in DenseStep, and
/// keeps its balances. Compartments in which nothing changes, ahead of the front of the new gas and well
/// behind it, are passed by.
class CruiseSweep : public CruiseStepper {
  public:
    CruiseSweep(const Network& net, double relative_tolerance, const Kernels& kernels);

    void lay_out(const SeriesView<double>& view, const std::vector<double>& vent_part) override;
    void take(const SeriesView<double>& view, const std::vector<double>& riser_moles) override;
    CruiseSurvey start(SeriesView<double>& view) override;
    void add_totals(double t, std::vector<double>& totals) const override;
    void carry(double t, SeriesView<double>& view, const std::vector<double>& moles,
               double* exposure) override;

  private:
    double attempt(SeriesView<double>& view, double size) override;
    void settle(SeriesView<double>& view) override;
    void allocate(const SeriesView<double>& view);
    void find_segments(const SeriesView<double>& view);
    void find_shapes();
    void find_holes(const SeriesView<double>& view, const std::vector<double>& vent_part);
    void allocate_flows();
    void hand_over(SeriesView<double>& view);
    void list_near_target();

    const Network& net_;
    const Kernels& kernels_;
    SweepView v_;
    bool flows_known_ = false, taken_ = false;
    // What the view points to.
    std::vector<double> rows_, flows_, strength_, vent_part_, inverse_moles_;
    std::vector<int> parent_, segment_, segment_parent_, first_hole_, hole_node_, hole_segment_, active_,
        near_;
    std::vector<unsigned char> shape_, quiet_;
};

}  // namespace oxfade::engine
