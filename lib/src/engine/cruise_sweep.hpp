#pragma once

#include <vector>

#include "engine/lanes/kernels.hpp"
#include "engine/network.hpp"

namespace oxfade::engine {

/// Implicit steps of the cruise, for compartments so short-lived that series would have to be many.
///
/// Rosenbrock's method of rosenbrock.hpp on the compositions, the receiver and the totals at once. Its
/// Jacobian leaves out that flows depend on composition, so it is a triangle: one sweep outward along the
/// trees solves it, whatever their size. Over a step everything is a cubic in time, as in DenseStep, and
/// keeps its balances. Compartments in which nothing changes, ahead of the front of the new gas and well
/// behind it, are passed by.
class CruiseSweep {
  public:
    CruiseSweep(const Network& net, double relative_tolerance, const Kernels& kernels);

    /// Takes in what is open: the strengths in the view, and the share of each node's outflow that goes
    /// through vents.
    void lay_out(const SeriesView<double>& view, const std::vector<double>& vent_part);
    /// Takes over the compositions in the view.
    void take(const SeriesView<double>& view);
    /// Flows at the state held, into the view.
    SweepSurvey start(SeriesView<double>& view);
    /// Puts cubics into the view for a step as long as asked for or as the tolerance allows, and says how
    /// long that is [s]. start() must have been called.
    double step(SeriesView<double>& view, double size);
    /// Nodes that may cross the target within the step, or have in what was taken over.
    const std::vector<int>& near_target() const { return near_target_; }
    /// Adds what left by a time within the step to the first totals, four a riser.
    void add_totals(double t, std::vector<double>& totals) const;
    /// Moves the view's compositions to that time, and adds to the integrals of the air in each node.
    void carry(double t, SeriesView<double>& view, const std::vector<double>& moles, double* exposure);

  private:
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
    double wanted_ = 1.0;  ///< step size the error control asks for [s]
    bool flows_known_ = false, taken_ = false;
    std::vector<int> near_target_;

    // What the view points to.
    std::vector<double> rows_, flows_, strength_, vent_part_, inverse_moles_;
    std::vector<int> parent_, segment_, segment_parent_, first_hole_, hole_node_, hole_segment_, active_,
        near_;
    std::vector<unsigned char> shape_, quiet_;
};

}  // namespace oxfade::engine
